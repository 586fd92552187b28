package sootline

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
)

// Hash closes a station's chain: the first 128 bits of SHA-256 over the hash
// before it and the line that it closes. The hashes alone show accidents and
// careless changes: whoever rewrites a chain to its end can hash it anew. A
// [SignedHead] and a [Pin] are what such a chain is held against.
type Hash [16]byte

const hashChars = 22

func (h Hash) append(dst []byte) []byte { return base64.RawURLEncoding.AppendEncode(dst, h[:]) }

// String gives the 22 characters of base64url.
func (h Hash) String() string { return string(h.append(nil)) }

// ParseHash reads what String writes.
func ParseHash(s string) (Hash, error) {
	raw, err := base64.RawURLEncoding.Strict().DecodeString(s)
	if err != nil || len(s) != hashChars || len(raw) != len(Hash{}) { // it passes over line ends
		return Hash{}, fmt.Errorf("hash %q: expected %d characters of base64url", clip(s), hashChars)
	}
	return Hash(raw), nil
}

// MarshalText writes what String gives.
func (h Hash) MarshalText() ([]byte, error) { return h.append(nil), nil }

// UnmarshalText reads what MarshalText writes, and nothing else.
func (h *Hash) UnmarshalText(text []byte) error {
	parsed, err := ParseHash(string(text))
	if err != nil {
		return err
	}
	*h = parsed
	return nil
}

// Chain is the end of a station's entries in a site's log: the number and the
// hash of the last one. The zero Chain is a station that has written nothing.
type Chain struct {
	Seq  int64
	Hash Hash
}

// Seal gives the entry its number and hash as the next of its chain, and writes
// its line after dst.
func (c *Chain) Seal(dst []byte, e *Entry) ([]byte, error) {
	if err := e.Check(); err != nil {
		return dst, err
	}
	e.Seq = c.Seq + 1
	start := len(dst)
	dst, err := appendUnsealed(dst, e)
	if err != nil {
		return dst[:start], err
	}
	e.Hash = c.next(dst[start:])
	*c = Chain{e.Seq, e.Hash}
	return appendSeal(dst, e.Hash), nil
}

func (c *Chain) next(unsealed []byte) Hash {
	var room [512]byte
	sum := sha256.Sum256(append(append(room[:0], c.Hash[:]...), unsealed...))
	return Hash(sum[:16])
}

// Break is where a chain first stops being what its station wrote.
type Break struct {
	Station string
	Seq     int64  // the number of the line at fault
	What    string // altered, missing, repeated, or out of order, in words
}

// Error tells the fault in a sentence.
func (f *Break) Error() string {
	return fmt.Sprintf("line %d of station %s: %s", f.Seq, f.Station, f.What)
}

// Follow checks that the line is the next of the station's chain, and moves the
// chain on. The line must parse; e is what it parsed to.
func (c *Chain) Follow(line []byte, e *Entry) *Break {
	switch {
	case e.Seq <= c.Seq:
		return &Break{e.Station, e.Seq, fmt.Sprintf("it stands after line %d: out of order, or there twice", c.Seq)}
	case e.Seq > c.Seq+1:
		return &Break{e.Station, c.Seq + 1, fmt.Sprintf("it is missing; the next one there is line %d", e.Seq)}
	}
	seal := len(line) - len(`,"hash":""}`) - hashChars
	if seal < 0 || c.next(line[:seal]) != e.Hash {
		return &Break{e.Station, e.Seq, "it was altered after it was written, or the line before it was replaced"}
	}
	*c = Chain{e.Seq, e.Hash}
	return nil
}

// Ledger follows the chains of all the stations in one log, line by line.
type Ledger map[string]*Chain

// Follow checks the line against the chain of its station; see [Chain.Follow].
// After a fault the chain goes on from the faulty line, so that a second fault
// is told apart from the first.
func (l Ledger) Follow(line []byte, e *Entry) *Break {
	chain := l[e.Station]
	if chain == nil {
		chain = &Chain{}
		l[e.Station] = chain
	}
	fault := chain.Follow(line, e)
	if fault != nil {
		*chain = Chain{max(e.Seq, chain.Seq), e.Hash}
	}
	return fault
}

// SplitLines gives the lines of a log book's text, without their line feeds and
// leaving out empty ones.
func SplitLines(text []byte) [][]byte {
	var lines [][]byte
	for line := range bytes.Lines(text) {
		if line = bytes.TrimRight(line, "\r\n"); len(line) > 0 {
			lines = append(lines, line)
		}
	}
	return lines
}

// Unsealed gives a line without what closes it, of which [Chain.Reseal] makes the line
// again; nothing where it is not closed.
func Unsealed(line []byte) ([]byte, bool) {
	end := len(line) - sealSize
	if end < 0 || !bytes.HasPrefix(line[end:], []byte(sealBegins)) {
		return nil, false
	}
	return line[:end], true
}

// Reseal closes what [Unsealed] gave as the next line of the chain, after dst. Whether
// the line is what its station wrote shows in the hash that the chain comes to.
func (c *Chain) Reseal(dst, unsealed []byte) []byte {
	*c = Chain{c.Seq + 1, c.next(unsealed)}
	return Sealed(dst, unsealed, c.Hash)
}

// Sealed closes what [Unsealed] gave with a hash that is known, after dst.
func Sealed(dst, unsealed []byte, hash Hash) []byte {
	return appendSeal(append(dst, unsealed...), hash)
}

// What closes a line.
const (
	sealBegins = `,"hash":"`
	sealSize   = len(sealBegins) + hashChars + len(`"}`)
)
