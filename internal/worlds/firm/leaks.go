package firm

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"compress/zlib"
	"encoding/base64"
	"fmt"
	"html"
	"io"
	"net/url"
	"regexp"
	"strings"
	"unicode"
)

// unpackedMost is how much of a packed part is looked through, in bytes.
const unpackedMost = 64 << 20

// Leaks names the marks in an answer that may not be in it: whole, with headers if they
// are handed in too. It looks at the bytes as they are, and through HTML and URL
// escapes, UTF-16, base64, gzip, zip (so XLSX) and the packed streams of a PDF, up to
// three deep, without regard to case, white space and tags. It cannot see text that a
// PDF draws by the numbers of glyphs, nor what a picture shows.
func Leaks(answer []byte, marks []Mark, may func(Mark) bool) []string {
	var found []string
	for _, m := range Found(answer, marks) {
		if !may(m) {
			found = append(found, fmt.Sprintf("%s of %s %s: %s", m.What, m.Firm, m.Site, m.Text))
		}
	}
	return found
}

// Found lists the marks that stand in an answer, as [Leaks] looks for them.
func Found(answer []byte, marks []Mark) []Mark {
	var texts []string
	spread(answer, 3, func(part []byte) { texts = append(texts, readings(part)...) })
	var found []Mark
	for _, m := range marks {
		for _, text := range texts {
			if strings.Contains(text, m.Text) {
				found = append(found, m)
				break
			}
		}
	}
	return found
}

// Leaks names the marks in an answer that somebody may not see.
func (w *Marked) Leaks(answer []byte, p *Somebody) []string {
	return Leaks(answer, w.Marks, func(m Mark) bool { return p.May(m, w.Marks) })
}

// Unseen lists the marks that somebody may see and that stand in none of the answers: a
// search that finds nothing there finds no leak either.
func (w *Marked) Unseen(answers [][]byte, p *Somebody) []Mark {
	seen := map[string]bool{}
	for _, answer := range answers {
		for _, m := range Found(answer, w.Marks) {
			seen[m.Text] = true
		}
	}
	var unseen []Mark
	for _, m := range w.Marks {
		if p.May(m, w.Marks) && !seen[m.Text] {
			unseen = append(unseen, m)
		}
	}
	return unseen
}

var tag = regexp.MustCompile(`<[^<>]*>`)

// readings gives the ways in which bytes may be text.
func readings(part []byte) []string {
	plain := strings.ToLower(string(part))
	all := []string{plain, strings.ToLower(html.UnescapeString(plain)), strings.ReplaceAll(plain, "\x00", "")}
	if way, err := url.QueryUnescape(plain); err == nil {
		all = append(all, way)
	}
	squeezed := strings.Map(func(c rune) rune {
		if unicode.IsSpace(c) || c == '\u00ad' {
			return -1
		}
		return c
	}, tag.ReplaceAllString(plain, ""))
	return append(all, percents(plain), squeezed)
}

var percent = regexp.MustCompile(`%[0-9a-f]{2}`)

// percents undoes each escape of a URL by itself, whatever else stands around it.
func percents(text string) string {
	return percent.ReplaceAllStringFunc(text, func(s string) string {
		out, err := url.PathUnescape(s)
		if err != nil {
			return s
		}
		return strings.ToLower(out)
	})
}

var encoded = regexp.MustCompile(`[A-Za-z0-9+/_-]{24,}={0,2}`)

// spread hands on bytes and what is packed in them.
func spread(part []byte, deep int, each func([]byte)) {
	each(part)
	if deep == 0 {
		return
	}
	next := func(r io.Reader, err error) {
		if err != nil {
			return
		}
		if inner, _ := io.ReadAll(io.LimitReader(r, unpackedMost)); len(inner) > 0 { // what came before damage counts too
			spread(inner, deep-1, each)
		}
	}
	if bytes.HasPrefix(part, []byte{0x1f, 0x8b}) {
		next(gzip.NewReader(bytes.NewReader(part)))
	}
	if z, err := zip.NewReader(bytes.NewReader(part), int64(len(part))); err == nil {
		for _, file := range z.File {
			each([]byte(file.Name))
			next(file.Open())
		}
	}
	for _, stream := range bytes.Split(part, []byte("stream"))[1:] {
		next(zlib.NewReader(bytes.NewReader(bytes.TrimLeft(stream, "\r\n"))))
	}
	for _, run := range encoded.FindAll(part, -1) {
		run = bytes.TrimRight(run, "=")
		for _, code := range []*base64.Encoding{base64.RawStdEncoding, base64.RawURLEncoding} {
			if inner, err := code.DecodeString(string(run)); err == nil {
				next(bytes.NewReader(inner), nil)
			}
		}
	}
}
