package app

import (
	"context"
	"errors"
	"maps"
	"slices"
	"time"

	"sootline"
	"sootline/internal/listing"
	"sootline/internal/store"
)

// Outcome says what a listing became, or would become.
type Outcome struct {
	Tables  []*TableOutcome
	Added   int             // entries
	Act     *sootline.Entry // that tells of the take; nil: it wrote nothing, or this is a preview
	Open    []*IntakeTable  // tables about which a question is open: nothing of them is taken
	Skipped []*IntakeTable  // tables that hold no listing of a kind we know
	Notes   []Unread        // what of the listings was not looked at
}

// TableOutcome says what one table became, or would become.
type TableOutcome struct {
	Table           *IntakeTable
	Added           map[sootline.Kind]int // entries, by kind
	Rows            int                   // rows that added something
	Same            int                   // rows that say what the book says already
	Repeated        int                   // rows that another row of the same intake says too
	Remarks         []Remark              // rows that were taken, and about which something is to be said; the first few
	Remarked        int
	Troubles        []Remark // rows that cannot be used; the first few
	Causes          []*Cause // the same by what they have in common, all of them
	Left            int      // how many those are
	Values          int      // that were read, between these days
	From, To        time.Time
	Outside, Unlike int                    // readings outside their band, and unlike what was read there before
	Far             int                    // readings far outside their band, which were taken
	Undoes          map[Effect]*EffectRows // what rows do to what is known
	Revived         int                    // entries that were taken back, and hold again
	Doubted         int                    // how many of those look mistyped: [TakeOptions.AsIs] takes them
	causes          map[string]*Cause
	lines           map[sootline.ID]int // of a turned table: where each entry was said first
	LeftFile        string              // where they lie, ready to be mended
	Spellings       []*Spelling         // that nobody knows, and that are to be asked
}

// Remark is something to be said about a row.
type Remark struct {
	Line int
	Text string
}

// shown is how many remarks and troubles of a table are kept to be shown; all
// troubles are in the left file.
const shown = 20

// TakeOptions are the choices of an intake.
type TakeOptions struct {
	Allow   []Effect               // what of the known may be undone
	Aliases []sootline.Alias       // what spellings mean, as answered for this take
	AsIs    bool                   // take values that look ten times too large as they are
	Row     func(RowOutcome) error // told of every row in its turn; may be nil
}

// Preview works out what taking the intake in would do, and does nothing.
func (a *App) Preview(ctx context.Context, site sootline.ID, in *Intake, opts TakeOptions) (*Outcome, error) {
	log, err := a.LogOf(ctx, site)
	if err != nil {
		return nil, err
	}
	defer in.reads.during(ctx)()
	if err := in.compare(); err != nil {
		return nil, err
	}
	t := a.newTaker(site, log, opts)
	t.emit = func(sootline.Entry) error { return nil }
	t.stopped = ctx.Err
	return t.takeAll(in)
}

// Take takes the intake in: all of it arrives, but for the rows that cannot be
// used, or nothing does. Those rows lie in a left file beside their listing.
func (a *App) Take(ctx context.Context, site sootline.ID, in *Intake, opts TakeOptions) (*Outcome, error) {
	if err := a.needs(sootline.Technician); err != nil {
		return nil, err
	}
	if err := a.Who.MaySee(site); err != nil {
		return nil, err
	}
	defer in.reads.during(ctx)()
	if err := in.compare(); err != nil {
		return nil, err
	}
	var out *Outcome
	left := newLeftFiles()
	err := a.writeTo(ctx, site, func(tx *store.Tx) error {
		if err := left.discard(); err != nil { // of a run before
			return err
		}
		left = newLeftFiles()
		log, err := a.Logs.in(tx, site)
		if err != nil {
			return err
		}
		begun, err := a.beginAct(tx, site)
		if err != nil {
			return err
		}
		t := a.newTaker(site, log, opts)
		facts := log.Facts()
		t.left = left
		t.stopped = ctx.Err
		err = tx.Append(site, a.station(), func(w *store.Writer) error {
			t.emit = func(e sootline.Entry) error {
				if err := a.Who.MayWrite(e.Body); err != nil {
					return err
				}
				facts.See(&e)
				return w.Add(e)
			}
			out, err = t.takeAll(in)
			return err
		})
		if err != nil {
			return err
		}
		if err := a.settleRepeats(tx, t); err != nil {
			return err
		}
		out.Added = t.added
		if err := a.noteTake(tx, t, begun, in, out); err != nil {
			return err
		}
		return left.keep()
	})
	if err != nil {
		return nil, errors.Join(err, left.discard())
	}
	return out, nil
}

// settleRepeats looks at the entries that seemed to be in this intake already:
// the few that were not are added after all.
func (a *App) settleRepeats(tx *store.Tx, t *taker) error {
	again := t.seen.again
	if len(again) == 0 {
		return nil
	}
	written, err := tx.Has(t.site, slices.Collect(maps.Keys(again))...)
	if err != nil {
		return err
	}
	var missed []sootline.Entry
	for id, e := range again {
		if !written[id] {
			missed = append(missed, e.entry)
			e.outcome.Repeated-- // the first of them is no repeat; any others are
			e.outcome.Rows++
			e.outcome.Added[e.entry.Body.Kind()]++
			t.added++
		}
	}
	slices.SortFunc(missed, func(a, b sootline.Entry) int { return sootline.Compare(&a, &b) })
	if len(missed) == 0 {
		return nil
	}
	return a.append(tx, t.site, missed)
}

// taker turns the rows of an intake into entries.
type taker struct {
	app     *App
	site    sootline.ID
	opts    TakeOptions
	now     time.Time
	zone    *time.Location
	log     *sootline.Log      // of the book
	said    []sootline.Entry   // what this intake has added to the register
	r       *sootline.Register // what the log says, and this intake so far
	folded  int                // how many of said are in it
	seen    *seen
	about   map[*sootline.Point]*pointFacts // of the register at hand
	soles   *soles                          // likewise
	spans   map[string]*span                // what was read, by type; nil: nobody asked yet
	told    toldMoment
	unknown map[string]bool // quantities of types that nobody knows, of which was said so
	left    *leftFiles      // nil in a preview
	emit    func(sootline.Entry) error
	stopped func() error // why the work is to stop, or nothing
	trouble string       // of the row in hand
	added   int
	done    int
	total   int
	scratch []byte

	beside       map[sootline.Kind]int // entries that no row says, by kind
	looks        map[sootline.ID]look  // the last one at each point
	revived      map[sootline.ID]bool  // entries that hold again by this intake
	acts         []Act                 // of the log, once looked at
	lookedAtActs bool
	spelled      *spellings // of the table in hand
}

func (a *App) newTaker(site sootline.ID, log *sootline.Log, opts TakeOptions) *taker {
	return &taker{app: a, site: site, opts: opts, now: sootline.Instant(a.Now()), log: log, seen: newSeen(log.Entries()), unknown: map[string]bool{}, beside: map[sootline.Kind]int{}, revived: map[sootline.ID]bool{}, stopped: func() error { return nil }}
}

// takeAll takes the tables in the order in which they build on each other, and
// has the register hold, for each kind, what the ones before it said.
func (t *taker) takeAll(in *Intake) (*Outcome, error) {
	out := &Outcome{Notes: in.notes()}
	for _, table := range in.Tables {
		t.total += table.Understanding.Rows
		if _, open := table.Blocking(); open {
			out.Open = append(out.Open, table)
		} else if table.Kind == listing.KindUnknown {
			out.Skipped = append(out.Skipped, table)
		}
	}
	if err := t.answered(); err != nil {
		return nil, err
	}
	for _, kind := range []listing.Kind{listing.KindTypes, listing.KindSchedule, listing.KindReadings, listing.KindEvents, listing.KindNumbers} {
		tables := in.toTake(kind)
		if len(tables) == 0 {
			continue
		}
		if err := t.lookThingsUp(); err != nil {
			return nil, err
		}
		for _, table := range tables {
			o := &TableOutcome{Table: table, Added: map[sootline.Kind]int{}}
			out.Tables = append(out.Tables, o)
			if err := t.takeTable(o); err != nil {
				return nil, err
			}
		}
	}
	out.Added = t.added
	return out, nil
}

// toTake lists the tables of a kind about which no question is open.
func (in *Intake) toTake(kind listing.Kind) []*IntakeTable {
	var tables []*IntakeTable
	for _, table := range in.Tables {
		if _, open := table.Blocking(); table.Kind == kind && !open {
			tables = append(tables, table)
		}
	}
	return tables
}

// lookThingsUp readies the register in which rows look things up: of the log, with what this intake has said so far.
func (t *taker) lookThingsUp() error {
	if t.r == nil || t.folded != len(t.said) {
		t.r, t.folded = t.log.With(t.said).Fold(Always), len(t.said)
	}
	t.about, t.soles, t.spans = map[*sootline.Point]*pointFacts{}, newSoles(t.r), nil
	zone, err := Zone(t.r.Site.Zone)
	t.zone = zone
	return err
}

func (t *taker) takeTable(o *TableOutcome) error {
	t.spelled = newSpellings(t.r, t.log)
	if err := t.takeRows(o); err != nil {
		return err
	}
	if o.Revived > 0 {
		o.remark(0, numbered(o.Revived, "entry of it was taken back before, and holds again", "entries of it were taken back before, and hold again"))
	}
	return t.settleSpellings(o)
}

func (t *taker) takeRows(o *TableOutcome) error {
	switch o.Table.Kind {
	case listing.KindTypes:
		return t.takeTypes(o)
	case listing.KindSchedule:
		return t.takeSchedule(o)
	case listing.KindNumbers:
		return t.takeFound(o)
	default:
		return t.takeHappenings(o)
	}
}

// records gives the rows of a table that could be read; those that could not go
// to the left file.
func (t *taker) records(o *TableOutcome, take func(listing.Record) error) error {
	table := o.Table
	for record, fault := range table.Records(table.Table) {
		if t.done++; t.done%10_000 == 0 {
			t.app.progress("taking in "+table.Path, min(t.done, t.total), t.total)
			if err := t.stopped(); err != nil {
				return err
			}
		}
		if err := t.recordAndTell(o, record, fault, take); err != nil {
			return err
		}
	}
	return t.stopped() // else a file that was not read to its end would pass for a short one
}

func (t *taker) record(o *TableOutcome, record listing.Record, fault *listing.RowError, take func(listing.Record) error) error {
	if fault != nil {
		return t.refuse(o, record, fault.Trouble())
	}
	t.meetRow(record)
	err := take(record)
	if bad, ok := errors.AsType[*impossible](err); ok {
		return t.refuse(o, record, bad.Error())
	}
	return err
}

// refuse puts a row aside, with the reason, to be mended.
func (t *taker) refuse(o *TableOutcome, record listing.Record, why string) error {
	o.Left++
	t.trouble = why
	o.because(record.Line, why)
	if len(o.Troubles) < shown {
		o.Troubles = append(o.Troubles, Remark{record.Line, why})
	}
	if t.left == nil {
		return nil
	}
	return t.left.add(o, record, why)
}

func (o *TableOutcome) remark(line int, text string) {
	o.Remarked++
	if len(o.Remarks) < shown {
		o.Remarks = append(o.Remarks, Remark{line, text})
	}
}
