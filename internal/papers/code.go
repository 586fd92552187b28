package papers

import (
	"cmp"
	"context"
	"encoding/base32"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
)

// codeBytes of an entry's hash make a paper's code: 80 bits, 16 letters.
const codeBytes = 10

// CodeOf is the code by which a printed paper is held against its book: the
// beginning of the hash of the last entry that it rests on, in base32 (RFC 4648).
// The hash covers all that its station wrote before.
func CodeOf(hash sootline.Hash) string {
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
	var hash sootline.Hash
	copy(hash[:], raw)
	return CodeOf(hash), nil
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

// Check is what a book says of a printed paper's code.
type Check struct {
	Entry   sootline.Entry // the last one that it rests on
	Lines   int            // of its station, up to it
	Since   int            // entries noted after it
	Earlier []sootline.Entry
	Broken  *sootline.Break // in its station's chain up to it; nil: unbroken
	Zone    *time.Location
}

// Verify finds the entry that a paper's code names, follows its chain, and
// says what was written since. Earlier holds what was noted later and yet speaks
// of the time before: a paper printed again would differ by that.
func Verify(ctx context.Context, a *app.App, site sootline.ID, code string) (Check, error) {
	code, err := cleanCode(code)
	if err != nil {
		return Check{}, err
	}
	log, err := a.LogOf(ctx, site)
	if err != nil {
		return Check{}, err
	}
	entries := log.Entries()
	at := slices.IndexFunc(entries, func(e *sootline.Entry) bool { return CodeOf(e.Hash) == code })
	if at < 0 {
		return Check{}, sootline.Errorf(sootline.NotFound, "compare it letter by letter; the paper may be of another site or book, or its entry was altered",
			"no entry of this site's log has the code %s", code)
	}
	check := Check{Entry: *entries[at]}
	for _, e := range entries {
		if e.ID == check.Entry.ID || !laterNoted(e, &check.Entry) {
			continue
		}
		check.Since++
		if rests(e, check.Entry.Noted) {
			check.Earlier = append(check.Earlier, *e)
		}
	}
	check.Zone, err = app.Zone(log.FoldPlaces(app.Always).Site.Zone)
	if err != nil {
		return check, err
	}
	return check, followPaper(ctx, a, site, &check)
}

// followPaper follows the chain of the paper's station up to its entry.
func followPaper(ctx context.Context, a *app.App, site sootline.ID, check *Check) error {
	ledger := sootline.Ledger{}
	for line, err := range a.Book.Lines(ctx, site) {
		if err != nil {
			return err
		}
		if line.Entry.Station != check.Entry.Station || line.Entry.Seq > check.Entry.Seq {
			continue
		}
		check.Lines++
		if fault := ledger.Follow(line.Text, &line.Entry); fault != nil && check.Broken == nil {
			check.Broken = fault
		}
	}
	return nil
}
