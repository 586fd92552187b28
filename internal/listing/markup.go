package listing

import (
	"bytes"
	"encoding/xml"
	"io"
	"strings"
	"unicode/utf8"
)

// Workbooks are read tag by tag. What nearly all of their markup is made of is read here; whatever else it may have
// (references, comments, declarations, letters in names that are not of ASCII) is left to encoding/xml from where it
// begins, so that both read the same and complain of the same.

// tokenKind tells what a token is.
type tokenKind uint8

const (
	otherToken tokenKind = iota // a comment or a declaration
	openingTag
	closingTag
	plainToken // text between tags
)

// token is a tag or a text. It holds until the next one is read, but for the name and the attributes, which stay.
type token struct {
	kind tokenKind
	el   xml.StartElement // the name, also of a closing tag
	text []byte
}

// markup reads tokens as the RawToken of a [xml.Decoder] does that is not strict.
type markup struct {
	r      io.Reader
	buf    []byte
	at     int // of the next byte in buf
	end    int
	offset int64 // of buf in what is read
	err    error // from r, behind the bytes in buf
	closes bool  // the tag in tok closes itself: its closing tag comes next
	tok    token
	names  map[string]xml.Name
	room   []xml.Attr // for attributes of tags to come: empty, and many of them
	failed error      // ends all
}

const (
	markupBuffer = 16 << 10
	markupRead   = 4 << 10 // bytes at a time
	keptTagNames = 512     // that are kept to be used again
)

func newMarkup(r io.Reader) *markup {
	return &markup{r: r, buf: make([]byte, markupBuffer), names: map[string]xml.Name{}}
}

// InputOffset tells how many bytes the tokens so far took.
func (m *markup) InputOffset() int64 { return m.offset + int64(m.at) }

// next gives the next token; io.EOF after the last one.
func (m *markup) next() (*token, error) {
	switch {
	case m.failed != nil:
		return nil, m.failed
	case m.closes:
		m.closes = false
		m.tok.kind, m.tok.el.Attr = closingTag, nil
		return &m.tok, nil
	}
	for {
		state := cutShort
		if m.at < m.end {
			state = m.token()
		}
		switch {
		case state == done:
			return &m.tok, nil
		case state == unusual || m.err != nil:
			return m.leave()
		}
		m.gather()
	}
}

// gather reads on until there is twice as much at hand, so that a long token is looked at a few times only.
func (m *markup) gather() {
	for enough := max(1, 2*(m.end-m.at)); m.end-m.at < enough && m.err == nil; {
		m.fill()
	}
}

// reading is how an attempt at a token went.
type reading uint8

const (
	done     reading = iota
	cutShort         // the bytes at hand end before the token does
	unusual          // it is left to encoding/xml
)

func (m *markup) fill() {
	if m.at > 0 {
		copy(m.buf, m.buf[m.at:m.end])
		m.offset += int64(m.at)
		m.at, m.end = 0, m.end-m.at
	}
	if m.end == len(m.buf) {
		m.buf = append(m.buf, make([]byte, len(m.buf))...)
	}
	n, err := m.r.Read(m.buf[m.end:min(len(m.buf), m.end+markupRead)])
	m.end += n
	m.err = err
}

// token reads one at m.at; nothing is taken unless that is done.
func (m *markup) token() reading {
	b := m.buf[m.at:m.end]
	switch {
	case b[0] != '<':
		return m.plain(b)
	case len(b) == 1:
		return cutShort
	case b[1] == '/':
		return m.closing(b)
	}
	return m.opening(b)
}

func (m *markup) plain(b []byte) reading {
	to := bytes.IndexByte(b, '<')
	switch {
	case to < 0:
		return cutShort
	case !standsForItself(b[:to]) || bytes.Contains(b[:to], []byte("]]>")):
		return unusual
	}
	m.tok = token{kind: plainToken, text: b[:to]}
	m.at += to
	return done
}

// standsForItself: the text has no references, and stands for itself.
func standsForItself(text []byte) bool {
	ascii := true
	for _, c := range text {
		if c < ' ' && c != '\t' && c != '\n' || c == '&' {
			return false
		}
		ascii = ascii && c < utf8.RuneSelf
	}
	return ascii || utf8.Valid(text) && !bytes.Contains(text, []byte("\ufffe")) && !bytes.Contains(text, []byte("\uffff"))
}

func (m *markup) closing(b []byte) reading {
	i := 2 + nameLength(b[2:])
	if i == len(b) {
		return cutShort
	}
	name, ok := m.name(b[2:i])
	if !ok || b[i] != '>' {
		return unusual
	}
	m.tok = token{kind: closingTag, el: xml.StartElement{Name: name}}
	m.at += i + 1
	return done
}

func (m *markup) opening(b []byte) reading {
	i := 1 + nameLength(b[1:])
	if i == len(b) {
		return cutShort
	}
	name, ok := m.name(b[1:i])
	if !ok {
		return unusual
	}
	n, attrs, state := m.attributes(b[i:])
	if i += n; state != done {
		return state
	}
	self := b[i] == '/'
	if self {
		if i++; i == len(b) || b[i] != '>' {
			return cutOr(i == len(b))
		}
	}
	m.room = attrs[len(attrs):]
	m.tok = token{kind: openingTag, el: xml.StartElement{Name: name, Attr: attrs[:len(attrs):len(attrs)]}}
	m.at, m.closes = m.at+i+1, self
	return done
}

// attributes reads those of a tag up to what ends it.
func (m *markup) attributes(b []byte) (n int, attrs []xml.Attr, state reading) {
	if cap(m.room) == 0 {
		m.room = make([]xml.Attr, 0, 256)
	}
	attrs = m.room
	for {
		if n += spaceLength(b[n:]); n == len(b) {
			return n, nil, cutShort
		}
		if b[n] == '>' || b[n] == '/' {
			return n, attrs, done
		}
		a, length, state := m.attribute(b[n:])
		if n += length; state != done {
			return n, nil, state
		}
		attrs = append(attrs, a)
	}
}

func cutOr(cut bool) reading {
	if cut {
		return cutShort
	}
	return unusual
}

// attribute reads one with its value between quotes, and gives its length.
func (m *markup) attribute(b []byte) (a xml.Attr, n int, state reading) {
	n = nameLength(b)
	if n == len(b) {
		return a, n, cutShort
	}
	name, ok := m.name(b[:n])
	if !ok {
		return a, n, unusual
	}
	if b[n] != '=' || n+1 == len(b) {
		return a, n, cutOr(b[n] == '=')
	}
	quote := b[n+1]
	if quote != '"' && quote != '\'' {
		return a, n, unusual
	}
	value := b[n+2:]
	to := bytes.IndexByte(value, quote)
	switch {
	case to < 0 && bytes.IndexByte(value, '<') < 0:
		return a, n, cutShort
	case to < 0 || !standsForItself(value[:to]) || bytes.IndexByte(value[:to], '<') >= 0:
		return a, n, unusual
	}
	return xml.Attr{Name: name, Value: string(value[:to])}, n + 2 + to + 1, done
}

func spaceLength(b []byte) int {
	n := 0
	for n < len(b) && (b[n] == ' ' || b[n] == '\n' || b[n] == '\t' || b[n] == '\r') {
		n++
	}
	return n
}

func nameLength(b []byte) int {
	n := 0
	for n < len(b) && ((b[n]|0x20)-'a' < 26 || b[n]-'0' < 10 || b[n] == ':' || b[n] == '_' || b[n] == '-' || b[n] == '.') {
		n++
	}
	return n
}

// name splits a name from its prefix; not ok where that is not plain to see.
func (m *markup) name(b []byte) (xml.Name, bool) {
	if name, known := m.names[string(b)]; known {
		return name, true
	}
	if len(b) == 0 || (b[0]|0x20)-'a' >= 26 {
		return xml.Name{}, false
	}
	name := xml.Name{Local: string(b)}
	if space, local, found := strings.Cut(name.Local, ":"); found {
		if local == "" || strings.Contains(local, ":") {
			return name, false
		}
		name = xml.Name{Space: space, Local: local}
	}
	if len(m.names) < keptTagNames {
		m.names[string(b)] = name
	}
	return name, true
}

// leave has encoding/xml read the next token.
func (m *markup) leave() (*token, error) {
	d := xml.NewDecoder(m)
	d.Strict = false
	d.CharsetReader = func(_ string, in io.Reader) (io.Reader, error) { return in, nil }
	text := m.at == m.end || m.buf[m.at] != '<'
	raw, err := d.RawToken()
	if err != nil {
		m.failed = err
		return nil, err
	}
	m.tok = token{}
	switch el := raw.(type) {
	case xml.StartElement:
		m.tok.kind, m.tok.el = openingTag, el
		m.closes = m.at > 1 && m.buf[m.at-2] == '/'
	case xml.EndElement:
		m.tok.kind, m.tok.el.Name = closingTag, el.Name
	case xml.CharData:
		m.tok.kind, m.tok.text = plainToken, el
		if text && m.at > 0 && m.buf[m.at-1] == '<' {
			m.at-- // it looked at what ends the text
		}
	}
	return &m.tok, nil
}

// ReadByte gives encoding/xml the next byte. The one before it stays at hand.
func (m *markup) ReadByte() (byte, error) {
	for m.at == m.end {
		if m.err != nil {
			return 0, m.err
		}
		m.keepLast()
	}
	m.at++
	return m.buf[m.at-1], nil
}

// keepLast reads more, and keeps the last two bytes that were taken.
func (m *markup) keepLast() {
	back := min(2, m.at)
	m.at -= back
	m.fill()
	m.at += back
}

// Read is there for the type alone: encoding/xml reads from what gives it single bytes.
func (m *markup) Read(p []byte) (int, error) {
	if len(p) == 0 {
		return 0, nil
	}
	c, err := m.ReadByte()
	if err != nil {
		return 0, err
	}
	p[0] = c
	return 1, nil
}
