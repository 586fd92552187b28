package listing

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"
)

// mostArchives is how many archives may lie in each other.
const mostArchives = 2

// kept is how many bytes of packed listings may lie unpacked in memory at a time: text packs to a
// thirtieth at the best (readings with a row a minute, measured), and plainKept in any case.
func (l Limits) kept(size int64) int64 { return min(l.MaxUnzipped, plainKept+mostKept*size) }

// openZip opens every listing of an archive; those that cannot be read are noted, unless none can.
func (f *File) openZip(zr *zip.Reader, size int64, lim Limits, depth int) error {
	if depth == mostArchives {
		return &FileError{File: f.Name, Trouble: fmt.Sprintf("archives lie in each other more than %d deep", mostArchives), Hint: "unpack them"}
	}
	left, files := lim.kept(size), 0
	var first error
	for _, entry := range zr.File {
		if isAside(entry) {
			continue
		}
		if files++; files > lim.MaxSheets {
			return &FileError{File: f.Name, Trouble: fmt.Sprintf("the archive holds more than %d files", lim.MaxSheets), Hint: "unpack it, and name the listings"}
		}
		inner := &File{Name: f.Name}
		err := inner.openEntry(entry, &left, lim, depth)
		var fe *FileError
		switch {
		case errors.As(err, &fe):
			fe.Trouble = entry.Name + " in it: " + fe.Trouble
			f.Notes = append(f.Notes, fe.Trouble+"; it was left out")
			if first == nil {
				first = fe
			}
		case err != nil:
			return err
		}
		f.adopt(inner, plainText(entry.Name))
	}
	switch {
	case len(f.tables) > 0:
		return nil
	case first != nil:
		return first
	}
	return &FileError{File: f.Name, Trouble: "this archive holds no listing", Hint: "save the list as .xlsx or .csv"}
}

// isAside: folders, and what systems lay beside files.
func isAside(entry *zip.File) bool {
	base := path.Base(entry.Name)
	return strings.HasSuffix(entry.Name, "/") || strings.HasPrefix(base, ".") || strings.HasPrefix(entry.Name, "__MACOSX/")
}

// adopt takes over the tables of a file that lies in this one, under its name.
func (f *File) adopt(inner *File, name string) {
	for _, note := range inner.Notes {
		f.Notes = append(f.Notes, name+" in it: "+note)
	}
	for _, t := range inner.tables {
		if t.Name != "" {
			t.Name = name + ", " + t.Name
		} else {
			t.Name = name
		}
		f.tables = append(f.tables, t)
	}
}

// openEntry unpacks one file and opens it.
func (f *File) openEntry(entry *zip.File, left *int64, lim Limits, depth int) error {
	if entry.Flags&1 != 0 {
		return &FileError{File: f.Name, Trouble: "it is locked by a password", Hint: "unpack it, and name the listing"}
	}
	if entry.UncompressedSize64 > uint64(*left) {
		return &FileError{File: f.Name, Trouble: "it is too large to be read packed", Hint: "unpack it, and name the listing"}
	}
	*left -= int64(entry.UncompressedSize64)
	r, err := entry.Open()
	if err != nil {
		return &FileError{File: f.Name, Trouble: "it cannot be unpacked", Hint: "pack it again", Err: err}
	}
	defer r.Close()
	data := make([]byte, entry.UncompressedSize64)
	if _, err := io.ReadFull(r, data); err != nil {
		return &FileError{File: f.Name, Trouble: "it is damaged", Hint: "pack it again", Err: err}
	}
	if n, err := r.Read(make([]byte, 1)); n > 0 || err != io.EOF { // the checksum is compared at the end
		return &FileError{File: f.Name, Trouble: "it is damaged", Hint: "pack it again", Err: err}
	}
	return f.open(bytes.NewReader(data), int64(len(data)), lim, depth+1)
}

// openGzip opens the one file that a gzip archive holds.
func (f *File) openGzip(src io.ReaderAt, size int64, lim Limits, depth int) error {
	if depth == mostArchives {
		return &FileError{File: f.Name, Trouble: fmt.Sprintf("archives lie in each other more than %d deep", mostArchives), Hint: "unpack them"}
	}
	r, err := gzip.NewReader(io.NewSectionReader(src, 0, size))
	if err != nil {
		return &FileError{File: f.Name, Trouble: "the archive is damaged", Hint: "pack it again", Err: err}
	}
	most := lim.kept(size)
	data, err := io.ReadAll(io.LimitReader(r, most+1))
	switch {
	case err != nil:
		return &FileError{File: f.Name, Trouble: "the archive is damaged", Hint: "pack it again", Err: err}
	case int64(len(data)) > most:
		return &FileError{File: f.Name, Trouble: "it is too large to be read packed", Hint: "unpack it"}
	}
	return f.open(bytes.NewReader(data), int64(len(data)), lim, depth+1)
}
