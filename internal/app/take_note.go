package app

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"sootline"
	"sootline/internal/listing"
	"sootline/internal/store"
)

// act is the part of a station's chain that a take, or the taking back of one, writes.
type act struct {
	station string
	before  int64 // the number of the last entry before it
}

// beginAct notes where the chain of the actor's station ends.
func (a *App) beginAct(tx *store.Tx, site sootline.ID) (act, error) {
	station, err := tx.StationAt(site, a.station())
	if err != nil {
		return act{}, err
	}
	heads, err := tx.Heads(site)
	return act{station, heads[station].Seq}, err
}

// endAct writes the entry that tells of an act, behind its entries. An act that wrote
// nothing is none.
func (a *App) endAct(tx *store.Tx, site sootline.ID, begun act, log *sootline.Log, said sootline.Taken) (*sootline.Entry, error) {
	heads, err := tx.Heads(site)
	if err != nil {
		return nil, err
	}
	said.First, said.Last = begun.before+1, heads[begun.station].Seq
	if said.Last < said.First {
		return nil, nil
	}
	if said.Name, err = a.actName(log); err != nil {
		return nil, err
	}
	e := a.entry(site, a.Now(), sootline.ID{}, said)
	return &e, a.note(tx, site, e)
}

// actName is the day, on the site's clock, and the number of the act on that day.
func (a *App) actName(log *sootline.Log) (string, error) {
	zone, err := Zone(log.FoldPlaces(Always).Site.Zone)
	if err != nil {
		return "", err
	}
	day := a.Now().In(zone).Format(time.DateOnly)
	last := 0
	for _, act := range actsOf(log) {
		if number, ok := strings.CutPrefix(act.Taken.Name, day+"-"); ok {
			if n, err := strconv.Atoi(number); err == nil {
				last = max(last, n)
			}
		}
	}
	return fmt.Sprintf("%s-%d", day, last+1), nil
}

// noteTake tells of a take: its files, what was understood, and what it wrote.
func (a *App) noteTake(tx *store.Tx, t *taker, begun act, in *Intake, out *Outcome) error {
	said := sootline.Taken{Added: map[sootline.Kind]int{}}
	maps.Copy(said.Added, t.beside)
	for _, o := range out.Tables {
		for kind, n := range o.Added {
			said.Added[kind] += n
		}
		said.Tables = append(said.Tables, takenTable(o))
	}
	var err error
	if said.Files, err = in.takenFiles(); err != nil {
		return err
	}
	out.Act, err = a.endAct(tx, t.site, begun, t.log, said)
	return err
}

func takenTable(o *TableOutcome) sootline.TakenTable {
	t := o.Table
	table := sootline.TakenTable{
		File: filepath.Base(t.Path), Sheet: t.Table.Name, Lists: string(t.Kind), Understood: understood(t),
		Rows: t.Understanding.Rows, Left: o.Left,
	}
	if table.Answers = t.answers(); table.Answers != "" {
		table.Headings, table.Shape = t.shape.exact, t.shape.loose
	}
	return table
}

// understood tells what the columns of a table were taken for, in words.
func understood(t *IntakeTable) string {
	const most = 24
	var parts []string
	for _, c := range t.Columns {
		if c.Field == listing.Unused {
			continue
		}
		heading := strconv.Itoa(c.Index + 1)
		if c.Heading != "" {
			heading = strconv.Quote(c.Heading)
		}
		if len(parts) == most {
			return strings.Join(parts, ", ") + " and more"
		}
		parts = append(parts, string(c.Field)+" in column "+heading)
	}
	return strings.Join(parts, ", ")
}

// takenFiles names the files of the intake, each with its size and hash as it is now.
func (in *Intake) takenFiles() ([]sootline.TakenFile, error) {
	var files []sootline.TakenFile
	for _, f := range in.files {
		file, err := takenFile(f, &in.reads)
		if err != nil {
			return nil, err
		}
		files = append(files, file)
	}
	return files, nil
}

func takenFile(f *os.File, reads *heeding) (sootline.TakenFile, error) {
	info, err := f.Stat()
	if err != nil {
		return sootline.TakenFile{}, sootline.Errorf(sootline.Unavailable, "", "look at listing: %w", err)
	}
	sum := sha256.New()
	n, err := io.Copy(sum, io.NewSectionReader(&heedingFile{f, reads}, 0, info.Size()))
	if err == nil && n != info.Size() {
		err = errors.New("it became shorter while it was read")
	}
	if err != nil {
		return sootline.TakenFile{}, sootline.Errorf(sootline.Unavailable, "hand the file in again", "read %s: %w", filepath.Base(f.Name()), err)
	}
	return sootline.TakenFile{Name: filepath.Base(f.Name()), SHA256: hex.EncodeToString(sum.Sum(nil)), Bytes: n}, nil
}

// write adds an entry of the act that no row of a table says.
func (t *taker) write(e sootline.Entry) error {
	if err := t.emit(e); err != nil {
		return err
	}
	t.beside[e.Body.Kind()]++
	t.added++
	t.said = append(t.said, e)
	return nil
}

// revive lets an entry hold again that a take back withdrew, where a row says it once
// more. What others withdrew by hand stays withdrawn, and is told of.
func (t *taker) revive(o *TableOutcome, e *sootline.Entry) (verdict, error) {
	gone := t.log.Amendment(e.ID)
	if gone == nil || gone.Body.Kind() != sootline.WithdrawnKind || t.revived[e.ID] {
		return same, nil
	}
	if !t.undone(gone) || !t.app.Who.Role.May(sootline.Manager) && !store.SameName(gone.By, t.app.Who.Name) {
		o.remark(0, fmt.Sprintf("%s was taken back by %s on %s, and stays so; withdraw that in the log where it is to hold again",
			sootline.Say(e.Body), gone.By, t.day(gone.Noted)))
		return same, nil
	}
	t.revived[e.ID] = true
	again := t.app.entry(t.site, t.now, sootline.ID{}, sootline.Withdrawn{Entry: gone.ID, Why: "taken in again"})
	if err := t.write(again); err != nil {
		return same, err
	}
	o.Revived++
	return added, nil
}

// undone reports whether a withdrawal is one of an act that took a take back.
func (t *taker) undone(gone *sootline.Entry) bool {
	if !t.lookedAtActs {
		t.lookedAtActs, t.acts = true, actsOf(t.log)
	}
	for i := range t.acts {
		if act := &t.acts[i]; !act.Taken.Undoes.Zero() && act.Taken.Wrote(act.Entry, gone) {
			return true
		}
	}
	return false
}
