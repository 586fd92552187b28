package listing

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strings"

	"golang.org/x/text/encoding/charmap"
)

// Text with one byte a letter that is no UTF-8 may be of windows-1252, as most programs write it, or of code page 850, as older ones do. The
// same bytes are other letters in them, and only what stands beside them tells which it is. Tables of both pages: the Unicode consortium's
// mappings, as golang.org/x/text has them; what speaks for which is a choice of ours.

// western is what the bytes of a text say for each of the two pages.
type western struct {
	windows, dos int    // bytes that can hardly be of the other page
	open         int    // bytes that are letters of both, or a letter of one and a mark of the other
	example      []byte // a word with an open one, else with any
}

// mostExample bounds the word that a question shows.
const mostExample = 24

// sniffWestern passes over a text.
func sniffWestern(src io.ReaderAt, size int64) (western, error) {
	var w western
	in := bufio.NewReader(io.NewSectionReader(src, 0, size))
	before, was := byte(' '), byte(' ')
	var word []byte
	isOpen, open := false, false
	endWord := func() {
		if isOpen && !open || w.example == nil && slices.ContainsFunc(word, func(b byte) bool { return b >= 0x80 }) {
			w.example, open = append([]byte{}, word...), isOpen
		}
		word, isOpen = word[:0], false
	}
	for {
		b, err := in.ReadByte()
		if err != nil && err != io.EOF {
			return w, err
		}
		next := b
		if err == io.EOF {
			next = ' '
		}
		if was >= 0x80 && w.look(before, was, next) {
			isOpen = true
		}
		if next < 'A' {
			endWord()
		} else if len(word) < mostExample {
			word = append(word, next)
		}
		if err == io.EOF {
			return w, nil
		}
		before, was = was, next
	}
}

func isLower(b byte) bool { return b >= 'a' && b <= 'z' }
func isASCIILetter(b byte) bool {
	return isLower(b) || b >= 'A' && b <= 'Z'
}

// look counts a byte with its neighbours, and reports whether it leaves the page open.
func (w *western) look(before, b, next byte) (open bool) {
	inside := isASCIILetter(before) && isASCIILetter(next)
	beside := isASCIILetter(before) || isASCIILetter(next)
	switch {
	case strings.IndexByte("\x81\x8d\x8f\x90\x9d", b) >= 0: // windows-1252 has no such letters
		w.dos++
	case b == before && (b == 0xc4 || b == 0xcd): // lines of a box
		w.dos++
	case b == 0xe1: // á or ß, which stands behind vowels
		if !strings.ContainsRune("aeiouAEIOU", rune(before)) && beside {
			w.windows++
			return false
		}
		open = true
	case strings.IndexByte("\xb5\xd6\xe0\xe9", b) >= 0 && !isASCIILetter(before) && isLower(next) && !(b == 0xb5 && strings.IndexByte("gmls", next) >= 0): // µ Ö à é, or Á Í Ó Ú
		open = true
	case b >= 0xc0 && b != 0xd7 && b != 0xf7:
		if beside {
			w.windows++ // code page 850 has parts of boxes there, or capitals that none of the six languages has within words
		}
	case b == 0x92 || b == 0x9c: // an apostrophe, and œ
	case isLower(before) && strings.IndexByte("\x82\x83\x84\x87\x88\x89\x8a\x95", b) >= 0: // é â ä ç ê ë è ò, and marks that follow no letter
		w.dos++
	case strings.IndexByte("\x8a\x8c\x8e\x9a\x9e\x9f", b) >= 0, b == 0xa0 && isASCIILetter(before) && (isASCIILetter(next) || strings.IndexByte(" ;,|\t\r\n", next) >= 0): // á, or a space
		open = true
	case b >= 0xa1 && b <= 0xa5 && isLower(before):
		w.dos++
	case b < 0xa0 && inside && b != 0x96 && b != 0x97 && b != 0x85:
		w.dos++
	case b < 0xa0 && strings.IndexByte("\x81\x82\x84\x87\x94\x98\x99", b) >= 0 && isASCIILetter(next) && !isASCIILetter(before), b < 0xa0 && (inside || strings.IndexByte("\x85\x93\x94\x97", b) >= 0 && isASCIILetter(before)):
		open = true
	}
	if open {
		w.open++
	}
	return open
}

// page gives the page; doubted: it is a question.
func (w *western) page() (name string, doubted bool) {
	switch {
	case w.windows > 0:
		return "windows-1252", w.dos > 0
	case w.dos > 0:
		return "cp850", false
	}
	return "windows-1252", w.open > 0
}

// askPage asks in which page a text is written, with a word as each of them has it.
func (u *Understanding) askPage(word []byte) {
	as := func(page *charmap.Charmap) string {
		text, err := page.NewDecoder().Bytes(word)
		if err != nil {
			return ""
		}
		return strings.TrimSpace(string(text))
	}
	u.askOnce(AskEncoding, "How are the letters of this text stored? Its bytes can be read in two ways.",
		Choice{"windows-1252", fmt.Sprintf("windows-1252: there stands %q", as(charmap.Windows1252))},
		Choice{"cp850", fmt.Sprintf("code page 850: there stands %q", as(charmap.CodePage850))})
}
