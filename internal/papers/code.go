package papers

import (
	"cmp"
	"encoding/base32"
	"strings"
	"time"

	"sootline"
)

// codeBytes of a hash make a paper's code: 80 bits, 16 letters.
const codeBytes = 10

// CodeOf is the code of a draft, and of papers that were printed before papers were
// issued: the beginning of the hash of the last entry that it rests on, which
// covers all that its station wrote before.
func CodeOf(hash sootline.Hash) string { return codeOf(hash[:]) }

// codeOf writes the beginning of a hash in base32 (RFC 4648).
func codeOf(hash []byte) string {
	text := base32.StdEncoding.EncodeToString(hash[:codeBytes])
	return strings.Join([]string{text[:4], text[4:8], text[8:12], text[12:]}, "-")
}

// cleanCode gives a code as it was typed its one spelling: 0, 1 and 8 are not in
// base32 and are taken for the letters they look like.
func cleanCode(text string) (string, error) {
	letters := strings.Map(func(r rune) rune {
		switch {
		case r == '-' || r == ' ':
			return -1
		case r == '0':
			return 'O'
		case r == '1':
			return 'I'
		case r == '8':
			return 'B'
		}
		return r
	}, strings.ToUpper(text))
	raw, err := base32.StdEncoding.DecodeString(letters)
	if err != nil || len(raw) != codeBytes {
		return "", sootline.Errorf(sootline.Invalid, "it stands at the foot of each page, as ABCD-EFGH-IJKL-MNOP", "%q is not the code of a paper", text)
	}
	return codeOf(raw), nil
}

// lastWritten finds the entry that was noted last among those that a paper of that
// day rests on, and counts them: what happened until then, and every amendment.
func lastWritten(log *sootline.Log, on time.Time) (last *sootline.Entry, count int) {
	for _, e := range log.Entries() {
		if !rests(e, on) {
			continue
		}
		count++
		if last == nil || laterNoted(e, last) {
			last = e
		}
	}
	return last, count
}

// rests reports whether what was so at an instant rests on an entry.
func rests(e *sootline.Entry, on time.Time) bool {
	switch e.Body.(type) {
	case sootline.Corrected, sootline.Withdrawn:
		return true
	}
	return !e.At.After(on)
}

// laterNoted orders by when entries were written; a whole listing is noted in one
// instant, so that then their numbers decide.
func laterNoted(a, b *sootline.Entry) bool {
	return cmp.Or(a.Noted.Compare(b.Noted), strings.Compare(a.Station, b.Station), cmp.Compare(a.Seq, b.Seq)) > 0
}
