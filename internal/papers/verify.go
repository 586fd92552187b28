package papers

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"time"

	"sootline"
	"sootline/internal/app"
)

// Check is what a book says of a paper's code.
type Check struct {
	Issued  []*sootline.Entry // the entries that say that it was issued, the first one first; none: it is a draft, or older
	Same    *sootline.Entry   // of these, the one that issued the very file; nil: none did, or no file was given
	File    bool              // a file was given
	Entry   *sootline.Entry   // of a draft: the last entry that it rests on
	Lines   int               // of the chains up to what it rests on
	Since   int               // entries noted after it
	Earlier []*sootline.Entry // of these, what speaks of its day or before: the record that it rests on has changed
	Broken  *sootline.Break   // in the chains up to what it rests on; nil: unbroken
	Zone    *time.Location
}

// Verify finds what a paper's code names: a paper that was issued, or the last entry
// that a draft rests on. It follows the chains that it rests on, and says what was
// written since. file is what was handed over, nil where only the code is known:
// only the file shows whether its content is the one issued.
func Verify(ctx context.Context, a *app.App, site sootline.ID, code string, file []byte) (Check, error) {
	code, err := cleanCode(code)
	if err != nil {
		return Check{}, err
	}
	log, err := a.LogOf(ctx, site)
	if err != nil {
		return Check{}, err
	}
	zone, err := app.Zone(log.FoldPlaces(app.Always).Site.Zone)
	if err != nil {
		return Check{}, err
	}
	check := Check{Zone: zone, File: file != nil}
	heads, until, err := check.find(log, code, file)
	if err != nil {
		return check, err
	}
	check.changes(log, heads, until)
	return check, followPaper(ctx, a, site, &check, heads)
}

// find gives the heads that the paper rests on, and the instant that it speaks of.
func (c *Check) find(log *sootline.Log, code string, file []byte) ([]sootline.Head, time.Time, error) {
	sum := sha256.Sum256(file)
	content := hex.EncodeToString(sum[:])
	var said sootline.Issued
	for _, e := range log.Entries() {
		issued, ok := e.Body.(sootline.Issued)
		if !ok || issued.Code != code {
			continue
		}
		if c.Issued = append(c.Issued, e); len(c.Issued) == 1 {
			said = issued
		}
		if c.File && issued.Content == content {
			c.Same = e
		}
	}
	if len(c.Issued) > 0 {
		return said.Heads, speaksUntil(c.Issued[0], said.Day, c.Zone), nil
	}
	entries := log.Entries()
	at := slices.IndexFunc(entries, func(e *sootline.Entry) bool { return CodeOf(e.Hash) == code })
	if at < 0 {
		return nil, time.Time{}, sootline.Errorf(sootline.NotFound, "compare it letter by letter; the paper may be of another site or book, or its entry was altered",
			"no paper that was issued, and no entry of this site's log, has the code %s", code)
	}
	c.Entry = entries[at]
	// Of the other stations a draft's code says nothing: what they had noted by then counts.
	heads := headsOf(log, func(e *sootline.Entry) bool { return !laterNoted(e, c.Entry) })
	return heads, c.Entry.Noted, nil
}

// speaksUntil is the instant that an issued paper speaks of: the end of its day, or,
// where it was issued on that day, when it was.
func speaksUntil(e *sootline.Entry, day string, zone *time.Location) time.Time {
	end, err := sootline.ParseDayEnds(day, zone)
	if err != nil || end.After(e.Noted) {
		return e.Noted
	}
	return end
}

// changes finds what was noted after the heads. What says that papers were issued,
// or witnesses heads, changes no paper.
func (c *Check) changes(log *sootline.Log, heads []sootline.Head, until time.Time) {
	ends := map[string]int64{}
	for _, h := range heads {
		ends[h.Station] = h.Seq
	}
	byID := map[sootline.ID]*sootline.Entry{}
	for _, e := range log.Entries() {
		byID[e.ID] = e
	}
	for _, e := range log.Entries() {
		switch e.Body.(type) {
		case sootline.Issued, sootline.Pinned:
			continue
		}
		if e.Seq <= ends[e.Station] {
			continue
		}
		c.Since++
		if speaksOf(e, byID, until, 0) {
			c.Earlier = append(c.Earlier, e)
		}
	}
}

// speaksOf reports whether an entry speaks of what was so until an instant: it
// happened by then, or amends what did, or makes something else happen by then.
func speaksOf(e *sootline.Entry, byID map[sootline.ID]*sootline.Entry, until time.Time, depth int) bool {
	const deepest = 16
	target := sootline.Amends(e.Body)
	if target.Zero() || depth == deepest {
		return !e.At.After(until)
	}
	if c, corrects := e.Body.(sootline.Corrected); corrects && !c.At.After(until) {
		return true
	}
	of := byID[target]
	return of != nil && speaksOf(of, byID, until, depth+1)
}

// followPaper follows the chains up to the heads that a paper rests on.
func followPaper(ctx context.Context, a *app.App, site sootline.ID, check *Check, heads []sootline.Head) error {
	ledger := sootline.Ledger{}
	fault := func(b *sootline.Break) {
		if b != nil && check.Broken == nil {
			check.Broken = b
		}
	}
	reached := map[string]bool{}
	for line, err := range a.Book.Lines(ctx, site) {
		if err != nil {
			return err
		}
		at := slices.IndexFunc(heads, func(h sootline.Head) bool { return h.Station == line.Entry.Station })
		if at < 0 || line.Entry.Seq > heads[at].Seq {
			continue
		}
		check.Lines++
		fault(ledger.Follow(line.Text, &line.Entry))
		if line.Entry.Seq == heads[at].Seq {
			reached[line.Entry.Station] = true
			if line.Entry.Hash != heads[at].Hash {
				fault(&sootline.Break{Station: line.Entry.Station, Seq: line.Entry.Seq, What: "it is not the line that the paper rests on: it, or one before it, was written anew"})
			}
		}
	}
	for _, h := range heads {
		if !reached[h.Station] {
			fault(&sootline.Break{Station: h.Station, Seq: h.Seq, What: "it is missing, and the paper rests on it"})
		}
	}
	return nil
}
