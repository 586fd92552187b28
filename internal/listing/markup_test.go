package listing

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"testing/iotest"
)

// markupPieces are what documents of the tests are put together from: what workbooks have, and what is hardly ever seen.
var markupPieces = []string{
	`<?xml version="1.0" encoding="UTF-8" standalone="yes"?>`, `<?xml version="1.1"?>`, `<?xml version="1.0" encoding="latin1"?>`, `<?pi`, `?>`,
	`<row r="1" spans="1:5">`, `<c r="A1" t="s" s='2'>`, `<v>`, `1.10`, `</v>`, `</c>`, `</row>`, `<c r="B1"/>`, `<c />`, `<x:c x:r="1"/>`,
	`<table:table-cell office:value-type="float" office:value="20">`, `</table:table-cell>`, `<text:p>`, `</text:p>`, `<text:s text:c="3"/>`,
	`A &amp; B`, `&#10;`, `&#xfffe;`, `&nbsp;`, `&`, `Büro`, `<bü a="1">`, `<b ü="ä">`, "\r\n", "\r", "\n\t ", "\x00", "\x01", "\xff", "\ufffe", "\uffff", "\ufeff",
	`]]>`, `<![CDATA[ a<b ]]>`, `<![CDATA[`, `<!-- no -- -->`, `<!-- yes -->`, `<!--`, `<!DOCTYPE a [<!ENTITY b "c">]>`, `<!`,
	`<`, `>`, `"`, `'`, `=`, `/`, `</`, `/>`, ` `, `<a:b:c>`, `<:a>`, `<a:>`, `<_a>`, `<1a>`, `<-a>`, `<a b>`, `<a b=c>`, `<a b=c/>`, `<a b = "c">`, `<a b="c"d="e"/>`,
	`<a b="&lt;">`, `<a b="<">`, `<a b=">">`, "<a b='\r\n'>", "<a\r\nb='1'\t>", `</a >`, `</ a>`, `<a b="]]>">`, `<a / >`, `<a b="/">`, `<aé b="1"/>`,
}

// said writes a token so that those of both readers can be compared.
func said(token any, at int64) string {
	switch el := token.(type) {
	case xml.StartElement:
		return fmt.Sprintf("%d open %q %q", at, el.Name, slices.Concat([]xml.Attr{}, el.Attr))
	case xml.EndElement:
		return fmt.Sprintf("%d close %q", at, el.Name)
	case xml.CharData:
		return fmt.Sprintf("%d text %q", at, []byte(el))
	}
	return fmt.Sprintf("%d other", at)
}

func tokensOfDecoder(r io.Reader) (all []string, err error) {
	d := xml.NewDecoder(r)
	d.Strict = false
	d.CharsetReader = func(_ string, in io.Reader) (io.Reader, error) { return in, nil }
	for {
		token, err := d.RawToken()
		if err != nil {
			return all, err
		}
		all = append(all, said(token, d.InputOffset()))
	}
}

func tokensOfMarkup(r io.Reader) (all []string, err error) {
	m := newMarkup(r)
	for {
		t, err := m.next()
		if err != nil {
			return all, err
		}
		var token any
		switch t.kind {
		case openingTag:
			token = t.el
		case closingTag:
			token = xml.EndElement{Name: t.el.Name}
		case plainToken:
			token = xml.CharData(t.text)
		}
		all = append(all, said(token, m.InputOffset()))
	}
}

// checkMarkup holds what is read here against what encoding/xml reads, to the byte.
func checkMarkup(t *testing.T, text []byte) {
	t.Helper()
	want, wantErr := tokensOfDecoder(bytes.NewReader(text))
	for name, r := range map[string]io.Reader{"whole": bytes.NewReader(text), "byte by byte": iotest.OneByteReader(bytes.NewReader(text)), "end with data": iotest.DataErrReader(bytes.NewReader(text))} {
		got, err := tokensOfMarkup(r)
		if !slices.Equal(got, want) {
			t.Fatalf("%s: %q\n  gives %s\n  want  %s", name, text, strings.Join(got, " | "), strings.Join(want, " | "))
		}
		if (err == io.EOF) != (wantErr == io.EOF) {
			t.Fatalf("%s: %q ends with %v, want %v", name, text, err, wantErr)
		}
	}
}

// TestMarkupIsReadAsBefore: documents put together by chance give the tokens that encoding/xml gives.
func TestMarkupIsReadAsBefore(t *testing.T) {
	chance := rand.New(rand.NewPCG(1, 2))
	for range 5_000 {
		var text []byte
		for range 1 + chance.IntN(12) {
			text = append(text, markupPieces[chance.IntN(len(markupPieces))]...)
		}
		checkMarkup(t, text)
	}
}

// TestMarkupOfAnyLength: tokens that lie across what is read at a time, and ones that are longer than that.
func TestMarkupOfAnyLength(t *testing.T) {
	for _, n := range []int{markupRead - 9, markupRead - 2, markupRead, markupBuffer - 3, markupBuffer, 3 * markupBuffer} {
		long := strings.Repeat("x", n)
		for _, text := range []string{
			"<a>" + long + "</a><b/>", `<a b="` + long + `"/><c d="1"/>`, "<a>" + long + "&amp;" + long + "</a><b/>", "<!--" + long + "--><b/>",
			long + "<" + long + "/>", "<a " + strings.Repeat(`k="v" `, n/4) + "/>", strings.Repeat(`<c r="1"><v>7</v></c>`, n/16), `<a b="` + long + "&amp;" + `"/>` + long,
		} {
			checkMarkup(t, []byte(text))
		}
	}
}

// TestMarkupTellsWhatStopsIt: what was read before an error of reading is given first.
func TestMarkupTellsWhatStopsIt(t *testing.T) {
	stop := errors.New("the disk is gone")
	for _, text := range []string{"<a><b/>", "<a>text", "<a b='"} {
		want, wantErr := tokensOfDecoder(io.MultiReader(strings.NewReader(text), iotest.ErrReader(stop)))
		got, err := tokensOfMarkup(io.MultiReader(strings.NewReader(text), iotest.ErrReader(stop)))
		if !slices.Equal(got, want) || !errors.Is(err, stop) || !errors.Is(wantErr, stop) {
			t.Errorf("%q gives %q and %v, want %q and %v", text, got, err, want, wantErr)
		}
	}
}

// FuzzMarkup: any bytes are read as encoding/xml reads them.
func FuzzMarkup(f *testing.F) {
	for _, piece := range markupPieces {
		f.Add([]byte(piece))
	}
	f.Add([]byte(`<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1"/></row>`))
	f.Fuzz(func(t *testing.T, text []byte) {
		if len(text) < 1<<16 {
			checkMarkup(t, text)
		}
	})
}
