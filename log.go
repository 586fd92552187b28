package sootline

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"strconv"
	"time"
)

// A log book is exported as JSON Lines: one entry a line, its keys in one
// order, no white space, UTF-8. One entry has exactly one spelling, so that the
// hash of a line is the hash of what it says. docs/formats/log.md describes it.

// AppendLine writes the entry's line, without the line feed, after dst.
func AppendLine(dst []byte, e *Entry) ([]byte, error) {
	dst, err := appendUnsealed(dst, e)
	if err != nil {
		return dst, err
	}
	return appendSeal(dst, e.Hash), nil
}

// appendUnsealed writes the line up to where its hash begins.
func appendUnsealed(dst []byte, e *Entry) ([]byte, error) {
	dst = append(dst, `{"id":"`...)
	dst = e.ID.append(dst)
	dst = append(dst, `","site":"`...)
	dst = e.Site.append(dst)
	dst = append(dst, `","at":"`...)
	dst = appendTime(dst, e.At)
	dst = append(dst, '"')
	if e.Day {
		dst = append(dst, dayMember...)
	}
	dst = append(dst, `,"noted":"`...)
	dst = appendTime(dst, e.Noted)
	dst = append(dst, `","by":`...)
	dst = appendString(dst, e.By)
	dst = append(dst, `,"station":`...)
	dst = appendString(dst, e.Station)
	dst = append(dst, `,"seq":`...)
	dst = strconv.AppendInt(dst, e.Seq, 10)
	if !e.Point.Zero() {
		dst = append(dst, `,"point":"`...)
		dst = e.Point.append(dst)
		dst = append(dst, '"')
	}
	dst = appendReplaces(dst, e.Replaces)
	dst = append(dst, `,"kind":`...)
	dst = appendString(dst, string(e.Body.Kind()))
	dst = append(dst, `,"body":`...)
	return appendBody(dst, e.Body)
}

// replacesMember begins what an entry replaces.
const replacesMember = `,"replaces":[`

func appendReplaces(dst []byte, ids []ID) []byte {
	if ids == nil {
		return dst
	}
	dst = append(dst, replacesMember...)
	for i, id := range ids {
		if i > 0 {
			dst = append(dst, ',')
		}
		dst = append(id.append(append(dst, '"')), '"')
	}
	return append(dst, ']')
}

// dayMember stands after an instant of which only the day is known.
const dayMember = `,"day":true`

// AppendSaid writes what an entry says, after dst: its site, instant, point, kind
// and body, and neither who noted it nor when, nor whether its time was written
// down or stands for a day. Two entries that say the same give the same bytes.
func AppendSaid(dst []byte, e *Entry) ([]byte, error) {
	dst = append(dst, e.Site[:]...)
	dst = append(dst, e.Point[:]...)
	dst = binary.BigEndian.AppendUint64(dst, uint64(e.At.UnixMilli()))
	dst = append(dst, e.Body.Kind()...)
	return appendBody(dst, e.Body)
}

func appendSeal(dst []byte, hash Hash) []byte {
	dst = append(dst, `,"hash":"`...)
	dst = hash.append(dst)
	return append(dst, `"}`...)
}

// ParseLine reads one line of a log book. Only the exact spelling that
// AppendLine writes is taken: anything else would not match its hash.
func ParseLine(line []byte) (Entry, error) {
	return new(Parser).Parse(line)
}

// Parser reads many lines, keeping one copy of each name that recurs.
type Parser struct {
	names map[string]string
	again []byte
}

// Parse reads one line; see [ParseLine].
func (p *Parser) Parse(line []byte) (Entry, error) {
	var e Entry
	s := scanner{rest: line, parser: p}
	s.word(`{"id":"`)
	s.id(&e.ID)
	s.word(`","site":"`)
	s.id(&e.Site)
	s.word(`","at":"`)
	s.time(&e.At)
	s.word(`"`)
	e.Day = s.optional(dayMember)
	s.word(`,"noted":"`)
	s.time(&e.Noted)
	s.word(`","by":`)
	e.By = s.text()
	s.word(`,"station":`)
	e.Station = s.text()
	s.word(`,"seq":`)
	e.Seq = s.integer()
	if s.optional(`,"point":"`) {
		s.id(&e.Point)
		s.word(`"`)
	}
	e.Replaces = s.replaces()
	s.word(`,"kind":`)
	kind := Kind(s.text())
	s.word(`,"body":`)
	raw := s.until(`,"hash":"`)
	s.hash(&e.Hash)
	s.word(`"}`)
	if s.err == nil && len(s.rest) > 0 {
		s.fail("the end of the line")
	}
	if s.err != nil {
		return Entry{}, s.err
	}
	return e, p.finish(&e, kind, raw)
}

// finish decodes the body and makes sure that it is written in its one way.
func (p *Parser) finish(e *Entry, kind Kind, raw []byte) error {
	body, err := DecodeBody(kind, raw)
	if err != nil {
		return err
	}
	e.Body = body
	if p.again, err = appendBody(p.again[:0], body); err != nil {
		return err
	}
	if !bytes.Equal(p.again, raw) {
		return Errorf(Invalid, "import only what an export of a log book wrote", "the body of this %s is not written in its one way", kind).Do(ExportLog)
	}
	return e.Check()
}

func (p *Parser) name(raw []byte) string {
	if name, ok := p.names[string(raw)]; ok {
		return name
	}
	if p.names == nil || len(p.names) > 10_000 {
		p.names = map[string]string{}
	}
	name := string(raw)
	p.names[name] = name
	return name
}

// scanner walks over a line; after the first fault it does nothing more.
type scanner struct {
	rest   []byte
	parser *Parser
	err    error
}

func (s *scanner) fail(expected string) {
	if s.err == nil {
		s.err = Errorf(Invalid, "a log book is one entry a line, as an export of it is",
			"expected %s, found %q", expected, clip(string(s.rest))).Do(ExportLog)
	}
	s.rest = nil
}

func (s *scanner) optional(word string) bool {
	if s.err == nil && len(s.rest) >= len(word) && string(s.rest[:len(word)]) == word {
		s.rest = s.rest[len(word):]
		return true
	}
	return false
}

func (s *scanner) word(word string) {
	if !s.optional(word) {
		s.fail(word)
	}
}

func (s *scanner) id(into *ID) {
	if len(s.rest) < 36 {
		s.fail("an id")
		return
	}
	id, err := ParseID(string(s.rest[:36]))
	if err != nil {
		s.fail("an id")
		return
	}
	*into, s.rest = id, s.rest[36:]
}

// replaces reads what an entry replaces; nil where it does not say.
func (s *scanner) replaces() []ID {
	if !s.optional(replacesMember) {
		return nil
	}
	ids := []ID{}
	for !s.optional(`]`) && s.err == nil {
		if len(ids) > 0 {
			s.word(`,`)
		}
		var id ID
		s.word(`"`)
		s.id(&id)
		s.word(`"`)
		ids = append(ids, id)
	}
	return ids
}

func (s *scanner) time(into *time.Time) {
	const size = len(timeLayout)
	if len(s.rest) < size {
		s.fail("an instant")
		return
	}
	t, err := parseTime(s.rest[:size])
	if err != nil {
		s.fail("an instant such as 2026-01-15T09:30:00.000Z")
		return
	}
	*into, s.rest = t, s.rest[size:]
}

// text reads a JSON string and insists on the spelling appendString gives it.
func (s *scanner) text() string {
	if s.err != nil || len(s.rest) == 0 || s.rest[0] != '"' {
		s.fail("text in quotes")
		return ""
	}
	end := 1
	for end < len(s.rest) && s.rest[end] != '"' {
		if s.rest[end] == '\\' {
			end++
		}
		end++
	}
	if end >= len(s.rest) {
		s.fail("text in quotes")
		return ""
	}
	raw := s.rest[1:end]
	if plain(raw) {
		s.rest = s.rest[end+1:]
		return s.parser.name(raw)
	}
	var text string
	if err := json.Unmarshal(s.rest[:end+1], &text); err != nil || !bytes.Equal(appendString(nil, text), s.rest[:end+1]) {
		s.fail("text in quotes")
		return ""
	}
	s.rest = s.rest[end+1:]
	return text
}

func (s *scanner) integer() int64 {
	end := 0
	for end < len(s.rest) && s.rest[end] >= '0' && s.rest[end] <= '9' {
		end++
	}
	n, err := strconv.ParseInt(string(s.rest[:end]), 10, 64)
	if err != nil || (s.rest[0] == '0' && end > 1) {
		s.fail("a whole number")
		return 0
	}
	s.rest = s.rest[end:]
	return n
}

// until takes everything before the last appearance of the word.
func (s *scanner) until(word string) []byte {
	at := bytes.LastIndex(s.rest, []byte(word))
	if at < 0 {
		s.fail(word)
		return nil
	}
	part := s.rest[:at]
	s.rest = s.rest[at+len(word):]
	return part
}

func (s *scanner) hash(into *Hash) {
	if len(s.rest) < hashChars {
		s.fail("a hash")
		return
	}
	hash, err := ParseHash(string(s.rest[:hashChars]))
	if err != nil {
		s.fail("a hash")
		return
	}
	*into, s.rest = hash, s.rest[hashChars:]
}
