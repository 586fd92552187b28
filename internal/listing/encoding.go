package listing

import (
	"bytes"
	"encoding/binary"
	"io"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/runes"
	"golang.org/x/text/transform"
)

// codePage gives the decoder of a code page that a profile may name; nil for UTF-8.
func codePage(name string) (encoding.Encoding, bool) {
	switch strings.ToLower(strings.TrimSpace(name)) {
	case "utf-8":
		return nil, true
	case "utf-16le":
		return unicode.UTF16(unicode.LittleEndian, unicode.IgnoreBOM), true
	case "utf-16be":
		return unicode.UTF16(unicode.BigEndian, unicode.IgnoreBOM), true
	case "windows-1250":
		return charmap.Windows1250, true
	case "windows-1251":
		return charmap.Windows1251, true
	case "windows-1252":
		return charmap.Windows1252, true
	case "windows-1253":
		return charmap.Windows1253, true
	case "windows-1254":
		return charmap.Windows1254, true
	case "windows-1257":
		return charmap.Windows1257, true
	case "cp437":
		return charmap.CodePage437, true
	case "cp850":
		return charmap.CodePage850, true
	case "cp852":
		return charmap.CodePage852, true
	case "iso-8859-1":
		return charmap.ISO8859_1, true
	case "iso-8859-2":
		return charmap.ISO8859_2, true
	case "iso-8859-15":
		return charmap.ISO8859_15, true
	case "macintosh":
		return charmap.Macintosh, true
	}
	return nil, false
}

// sniffEncoding finds the encoding: a byte order mark, then NUL bytes in every second place, then
// whether the whole file is UTF-8; what is left is taken as windows-1252. bom is the mark's length.
func sniffEncoding(src io.ReaderAt, size int64) (name string, bom int64, err error) {
	head := make([]byte, min(size, 4096))
	if _, err := src.ReadAt(head, 0); err != nil && err != io.EOF {
		return "", 0, err
	}
	switch {
	case bytes.HasPrefix(head, []byte("\xef\xbb\xbf")):
		return "utf-8", 3, nil
	case bytes.HasPrefix(head, []byte("\xff\xfe")):
		return "utf-16le", 2, nil
	case bytes.HasPrefix(head, []byte("\xfe\xff")):
		return "utf-16be", 2, nil
	}
	if name := utf16WithoutMark(head); name != "" {
		return name, 0, nil
	}
	good, bad, err := countRunes(io.NewSectionReader(src, 0, size))
	if bad > 0 && bad*4 >= good {
		return "windows-1252", 0, err
	}
	return "utf-8", 0, err
}

// utf16WithoutMark: Latin text in UTF-16 has a NUL in nearly every second byte.
func utf16WithoutMark(head []byte) string {
	var nul [2]int
	for i, b := range head {
		if b == 0 {
			nul[i&1]++
		}
	}
	half := len(head) / 2
	switch {
	case half >= 2 && nul[1] > half*7/10 && nul[0] < half/10+1:
		return "utf-16le"
	case half >= 2 && nul[0] > half*7/10 && nul[1] < half/10+1:
		return "utf-16be"
	}
	return ""
}

// countRunes counts the runes of two bytes and more that are UTF-8, and the bytes that are not. A file
// cut in the middle of a letter is still UTF-8.
func countRunes(r io.Reader) (good, bad int, err error) {
	buf, kept := make([]byte, 64<<10), 0
	for {
		n, err := io.ReadFull(r, buf[kept:])
		chunk := buf[:kept+n]
		last := err != nil
		if isASCII(chunk) {
			chunk = nil
		}
		for len(chunk) > 0 && (last || utf8.FullRune(chunk)) {
			r, size := utf8.DecodeRune(chunk)
			switch {
			case r == utf8.RuneError && size == 1:
				bad++
			case size > 1:
				good++
			}
			chunk = chunk[size:]
		}
		kept = copy(buf, chunk)
		switch err {
		case nil:
		case io.EOF, io.ErrUnexpectedEOF:
			return good, bad, nil
		default:
			return good, bad, err
		}
	}
}

// isASCII looks at eight bytes at a time.
func isASCII(b []byte) bool {
	for ; len(b) >= 8; b = b[8:] {
		if binary.LittleEndian.Uint64(b)&0x8080808080808080 != 0 {
			return false
		}
	}
	for _, c := range b {
		if c >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

// decoder gives the file's text as UTF-8 without its byte order mark.
func decoder(src io.ReaderAt, size int64, name string, bom int64) io.Reader {
	r := io.NewSectionReader(src, bom, size-bom)
	page, _ := codePage(name)
	if page == nil {
		return r
	}
	return transform.NewReader(r, transform.Chain(page.NewDecoder(), runes.ReplaceIllFormed()))
}
