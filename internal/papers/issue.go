package papers

import (
	"bytes"
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"strings"
	"time"

	"sootline"
	"sootline/internal/app"
	"sootline/internal/paper"
)

// Issued is a paper that was handed out: what was made, and the entry that says so.
type Issued struct {
	Title string
	Code  string
	File  []byte
	Entry sootline.Entry
}

// Issue makes a paper, writes it in a format, and notes in the log that it was
// issued: its code follows from what it says, the file is known by its hash, and
// the heads of all stations that it rests on are witnessed.
func Issue(ctx context.Context, a *app.App, site sootline.ID, wish Wish, format paper.Format, size paper.Size) (*Issued, error) {
	if wish.On.After(a.Now().Add(24 * time.Hour)) {
		return nil, sootline.Errorf(sootline.Invalid, "a draft of it can be made", "a paper of a day to come is not issued: the record may change until then")
	}
	p, d, err := drafted(ctx, a, site, wish)
	if err != nil {
		return nil, err
	}
	if format.Name == "csv" && !d.Tabular() {
		return nil, NoTable()
	}
	if err := p.seal(d, a.Who.Name); err != nil {
		return nil, err
	}
	var made bytes.Buffer
	if err := format.Write(&made, d, size); err != nil {
		return nil, err
	}
	sum := sha256.Sum256(made.Bytes())
	e, err := a.NoteIssued(ctx, site, sootline.Issued{
		Paper: wish.Kind, Day: p.day(wish.On), Code: d.Code, Content: hex.EncodeToString(sum[:]), Heads: headsOf(p.log, func(*sootline.Entry) bool { return true }),
	})
	return &Issued{d.Title, d.Code, made.Bytes(), e}, err
}

// NoTable is the error of a paper of which a CSV would be empty.
func NoTable() error {
	return sootline.Errorf(sootline.Invalid, "take another form of it", "this paper holds no table, so that there is nothing to write as CSV")
}

// seal makes a draft a paper that is issued: its code is the beginning of the hash
// of all that it says.
func (p *paperwork) seal(d *paper.Document, by string) error {
	d.AsOf = "Issued by " + cmp.Or(by, "somebody not named") + ". As of " + p.moment(p.wish.On)
	d.RestsOn, _, _ = strings.Cut(d.RestsOn, "; code ")
	d.Code = ""
	var said bytes.Buffer
	if err := paper.WriteHTML(&said, d, paper.Sizes()[0]); err != nil {
		return err
	}
	sum := sha256.Sum256(said.Bytes())
	d.Code = codeOf(sum[:])
	d.RestsOn += "; code " + d.Code
	return nil
}

// headsOf gives the ends of all stations' chains among some entries of a log, by
// station.
func headsOf(log *sootline.Log, among func(*sootline.Entry) bool) []sootline.Head {
	last := map[string]sootline.Head{}
	for _, e := range log.Entries() {
		if e.Seq > last[e.Station].Seq && among(e) {
			last[e.Station] = sootline.Head{Station: e.Station, Seq: e.Seq, Hash: e.Hash}
		}
	}
	var heads []sootline.Head
	for _, h := range last {
		heads = append(heads, h)
	}
	slices.SortFunc(heads, func(a, b sootline.Head) int { return cmp.Compare(a.Station, b.Station) })
	return heads
}

// Register lists the papers that were issued, the last one first.
func Register(r *sootline.Register) []*sootline.Entry {
	all := slices.Clone(r.Issued)
	slices.Reverse(all)
	return all
}
