package listing

import (
	"archive/zip"
	"errors"
	"fmt"
	"io"
	"strings"
)

// What a workbook costs is bounded before it is unpacked: an archive of a few kilobytes can unpack to
// gigabytes.

// A workbook may unpack to so many bytes for each packed one, and to plainSize in any case. A sheet of
// a million readings with every cell's name unpacks to 10 to 13 bytes for one, one without any to some
// 30 (measured); deflate itself ends near 1030 (RFC 1951: 258 bytes for two bits).
const (
	mostRatio = 100
	plainSize = 16 << 20
)

// What all sheets share and is kept in memory, such as texts, may have so many bytes for each of the
// file, and plainKept in any case. A text that recurs stands there once, so that it packs badly.
const (
	mostKept  = 32
	plainKept = 8 << 20
	keptEach  = 64 // bytes that keeping a text takes beside its own
)

// mostCarried is how many cells of a sheet are filled from merged ranges: four a row of the longest.
const mostCarried = 4 * mostRows

// mostRows is how many rows a sheet has at the most (common practice of spreadsheet programs).
const mostRows = 1 << 20

// mostDepth is how deep the elements of a part lie in each other; those of a cell lie five deep.
const mostDepth = 64

// mostDirectory is how many bytes the list of an archive's parts may have: some 40,000 parts.
const mostDirectory = 4 << 20

// unpacked is how many bytes a workbook of a size may unpack to.
func (l Limits) unpacked(size int64) int64 {
	return min(l.MaxUnzipped, plainSize+mostRatio*min(size, l.MaxUnzipped))
}

// archive is the parts of a packed workbook, and what may still be unpacked of them.
type archive struct {
	file     string
	parts    map[string]*zip.File
	limits   Limits
	left     int64 // bytes that its parts may still unpack to
	comments int   // on cells of an open spreadsheet
	room     int64 // bytes that may still be kept in memory of what all sheets share
}

// newArchive gives the parts by their names.
func newArchive(name string, zr *zip.Reader, size int64, lim Limits) *archive {
	a := &archive{file: name, parts: map[string]*zip.File{}, limits: lim, left: lim.unpacked(size), room: plainKept + mostKept*size}
	for _, f := range zr.File {
		a.parts[strings.TrimPrefix(f.Name, "/")] = f
	}
	return a
}

// openArchive reads the list of parts, and no more of it than is sensible.
func openArchive(name string, src io.ReaderAt, size int64) (*zip.Reader, error) {
	list := &boundedReader{src: src, left: mostDirectory}
	zr, err := zip.NewReader(list, size)
	if errors.Is(err, errManyParts) {
		return nil, &FileError{File: name, Trouble: "the file has too many parts", Hint: "save the sheet as .csv, or unpack it"}
	}
	if err != nil {
		return nil, &FileError{File: name, Trouble: "the workbook or archive is damaged", Hint: "open it in the program that made it and save it again", Err: err}
	}
	list.open = true
	return zr, nil
}

var errManyParts = errors.New("too many parts")

// boundedReader gives so many bytes until it is open.
type boundedReader struct {
	src  io.ReaderAt
	left int64
	open bool
}

func (b *boundedReader) ReadAt(p []byte, at int64) (int, error) {
	if !b.open {
		if b.left -= int64(len(p)); b.left < 0 {
			return 0, errManyParts
		}
	}
	return b.src.ReadAt(p, at)
}

// admit takes what a part says it unpacks to off what is left for the workbook. A part that unpacks to
// more than it says is stopped there.
func (a *archive) admit(part string) error {
	f := a.parts[part]
	if f == nil {
		return nil
	}
	if f.UncompressedSize64 > uint64(a.left) {
		return tooLarge(a.file)
	}
	a.left -= int64(f.UncompressedSize64)
	return nil
}

// keep takes texts that are kept in memory off what there is room for.
func (a *archive) keep(texts ...string) error {
	for _, text := range texts {
		a.room -= int64(len(text)) + keptEach
	}
	if a.room < 0 {
		return tooLarge(a.file)
	}
	return nil
}

// partReader reads the XML of a part.
type partReader struct {
	*markup
	file  string
	depth int
}

// decoder opens a part; nil when there is none.
func (a *archive) decoder(part string) (*partReader, io.Closer, error) {
	r, err := a.open(part)
	if r == nil || err != nil {
		return nil, nil, err
	}
	return newPartReader(r, a.file), r, nil
}

func newPartReader(r io.Reader, file string) *partReader {
	return &partReader{markup: newMarkup(r), file: file}
}

// next gives the next token, and refuses elements that lie in each other without end.
func (p *partReader) next() (*token, error) {
	token, err := p.markup.next()
	if err != nil {
		return nil, err
	}
	switch token.kind {
	case openingTag:
		if p.depth++; p.depth > mostDepth {
			return nil, &FileError{File: p.file, Trouble: fmt.Sprintf("its elements lie more than %d deep in each other", mostDepth), Hint: "open it in a spreadsheet program and save it again"}
		}
	case closingTag:
		p.depth--
	}
	return token, nil
}

func (a *archive) open(part string) (*guardedPart, error) {
	f := a.parts[part]
	if f == nil {
		return nil, nil
	}
	rc, err := f.Open()
	if err != nil {
		return nil, fmt.Errorf("part %s: %w", part, err)
	}
	return &guardedPart{ReadCloser: rc, file: a.file, left: int64(f.UncompressedSize64), most: a.limits.MaxLine}, nil
}

func tooLarge(file string) error {
	return &FileError{File: file, Trouble: "the workbook is too large once unpacked", Hint: "save the sheet as .csv, or split it"}
}

// guardedPart stops unpacking where a part goes on beyond what the archive says of it, and bounds the
// bytes between two tags, which the XML decoder would hold in memory.
type guardedPart struct {
	io.ReadCloser
	file     string
	left     int64
	most     int
	sinceTag int
}

func (g *guardedPart) Read(p []byte) (int, error) {
	n, err := g.ReadCloser.Read(p)
	if g.left -= int64(n); g.left < 0 {
		return 0, tooLarge(g.file)
	}
	for _, c := range p[:n] {
		if g.sinceTag++; c == '<' || c == '>' {
			g.sinceTag = 0
		}
		if g.sinceTag > g.most {
			return 0, &FileError{File: g.file, Trouble: "a cell in the workbook is too large", Hint: fmt.Sprintf("the most is %d bytes", g.most)}
		}
	}
	return n, err
}
