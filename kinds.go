package sootline

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"sync"
)

// kindRow is all that the house knows of a kind of entry; what must know of
// kinds reads the table. How a kind is checked, folded and said in words is in
// the kind's own file.
type kindRow struct {
	kind      Kind
	decode    func(raw []byte) (Body, error)
	fields    func() []Field // of a form that says it, in order
	says      string
	about     about
	role      Role // the least that may write it
	phone     bool // it is captured while walking
	byHand    bool // it is offered where entries are added one by one
	byProgram bool // it is written by the program alone, when what it tells of is done
	byUse     Use  // the use case that alone writes it, for it asks and looks at more; empty: any
}

// about says what an entry of a kind is about.
type about byte

const (
	ofSite   about = iota // the site as a whole
	ofPoint               // a point
	ofEither              // a point, or the site
)

// kinds is the table of what an entry can say: one line a kind.
func kinds() []kindRow {
	const t, m = Technician, Manager
	return []kindRow{
		row[Read](ReadKind, "a reading: samples of a resting value", ofPoint, t).onPhone().hand().decodedBy(decodeRead),
		row[Cleaned](CleanedKind, "cleaned: a drift starts afresh", ofPoint, t).onPhone().hand(),
		row[Replaced](ReplacedKind, "another device at the same point", ofPoint, t).onPhone().hand(),
		row[Tested](TestedKind, "a function test, passed or failed", ofPoint, t).onPhone().hand(),
		row[Unreached](UnreachedKind, "somebody came and could not get at it", ofPoint, t).onPhone().hand(),
		row[Rebased](RebasedKind, "the resting value was set anew in device or panel", ofPoint, t).hand(),
		row[Defect](DefectKind, "something is wrong: damage, an obstruction, a wrong or missing device", ofEither, t).onPhone().hand(),
		row[Fault](FaultKind, "a fault was shown", ofEither, t).onPhone().hand(),
		row[Followed](FollowedKind, "a defect: who was told, what was agreed, what it needs", ofEither, t).onPhone().hand(),
		row[Mended](MendedKind, "a defect was mended; it waits for its retest", ofEither, t).onPhone().hand(),
		row[Retested](RetestedKind, "a mended defect was tried again, and passed or failed", ofEither, t).onPhone().hand(),
		row[Disabled](DisabledKind, "taken out of use", ofEither, t).onPhone().hand(),
		row[Restored](RestoredKind, "back in use", ofEither, t).onPhone().hand(),
		row[Alarm](AlarmKind, "a fire alarm, wanted or not", ofEither, t).hand(),
		row[Note](NoteKind, "a remark, or a photo", ofEither, t).onPhone().hand(),
		row[Addressed](AddressedKind, "the number it should have, has by a list, was found to have, or was set to", ofPoint, t).onPhone().hand(),
		row[Set](SetKind, "settings wanted, or found", ofPoint, t).onPhone().hand(),
		row[Measured](MeasuredKind, "what meters showed of a loop: ohms, insulation, volts, current", ofSite, t).onPhone().hand(),
		row[Wish](WishKind, "settings wanted of a point, or of a type, zone or area, and why", ofEither, t).hand(),
		row[Changed](ChangedKind, "the configuration was changed", ofSite, t).hand(),
		row[Fitted](FittedKind, "a device is in place here", ofPoint, t).onPhone(),
		row[Moved](MovedKind, "the point is elsewhere, or is described otherwise", ofPoint, t).hand(),
		row[Removed](RemovedKind, "the point is no more", ofPoint, t).hand(),
		row[Visit](VisitKind, "an attendance on site begins or ends", ofSite, t).by(OpenVisit),
		row[Bench](BenchKind, "a run at the bench begins or ends", ofSite, t).by(OpenBench),
		row[Benched](BenchedKind, "what became of a device or a place at the bench", ofEither, t).onPhone().by(BenchDevice),
		row[Opened](OpenedKind, "facts and rules of the site", ofSite, m),
		row[Service](ServiceKind, "the rules of service, and what working here takes", ofSite, m),
		row[LoopFacts](LoopKind, "the span of a loop and its unset number", ofSite, m),
		row[AreaFacts](AreaKind, "how large an area is, and on which floor", ofSite, m),
		row[Supply](SupplyKind, "what feeds a loop, and what its cable is", ofSite, m),
		row[Radial](RadialKind, "a circuit that does not come back to the panel: sounders, a conventional zone", ofSite, m).hand(),
		row[LoadList](LoadsKind, "what hangs on a panel's battery beside its loops, and what it lives under", ofSite, m).by(StateLoads),
		row[Sheet](SheetKind, "what is known of a type of device", ofSite, m),
		row[Alias](AliasKind, "what is meant by a spelling of a type, an area, a cause or a person", ofSite, t).hand(),
		row[Source](SourceKind, "how what a panel prints is read, as it was learned from marked lines", ofSite, t).program(),
		row[Taken](TakenKind, "listings were taken in, or a take was taken back", ofSite, t).program(),
		row[Issued](IssuedKind, "a paper was issued", ofSite, t).program(),
		row[Pinned](PinnedKind, "where the chains of other stations ended", ofSite, m).program(),
		row[Corrected](CorrectedKind, "puts another entry right", ofEither, t).onPhone().decodedBy(decodeCorrected),
		row[Withdrawn](WithdrawnKind, "takes another entry back", ofEither, t).onPhone(),
	}
}

// row makes the line of a kind whose body decodes as its struct says.
func row[B Body](kind Kind, says string, of about, role Role) kindRow {
	return kindRow{kind: kind, decode: decode[B], fields: fieldsOf[B], says: says, about: of, role: role}
}

func (k kindRow) onPhone() kindRow   { k.phone = true; return k }
func (k kindRow) hand() kindRow      { k.byHand = true; return k }
func (k kindRow) program() kindRow   { k.byProgram = true; return k }
func (k kindRow) by(use Use) kindRow { k.byUse = use; return k }

func (k kindRow) decodedBy(decode func([]byte) (Body, error)) kindRow {
	k.decode = decode
	return k
}

// KindFacts is what a list of kinds shows of one.
type KindFacts struct {
	Kind      Kind
	Says      string
	OfPoint   bool // an entry of it needs its point
	OfSite    bool // an entry of it has no point
	Role      Role // the least that may write it
	Phone     bool // it is captured while walking
	ByHand    bool // it is offered where entries are added one by one
	ByProgram bool // it is written by the program alone
	ByUse     Use  // the use case that alone writes it; empty: any
}

// Kinds lists the kinds that an entry can be of, those of everyday work first.
func Kinds() []KindFacts {
	var all []KindFacts
	for _, row := range kinds() {
		all = append(all, row.facts())
	}
	return all
}

// KindNamed finds a kind by its name.
func KindNamed(kind Kind) (KindFacts, bool) {
	row, ok := findKind(kind)
	return row.facts(), ok
}

func (k kindRow) facts() KindFacts {
	return KindFacts{k.kind, k.says, k.about == ofPoint, k.about == ofSite, k.role, k.phone, k.byHand, k.byProgram, k.byUse}
}

// kindIndex is the table by name, made once: every line that is read asks it.
var (
	kindOnce  sync.Once
	kindIndex map[Kind]kindRow
)

func findKind(kind Kind) (kindRow, bool) {
	kindOnce.Do(func() {
		kindIndex = map[Kind]kindRow{}
		for _, row := range kinds() {
			kindIndex[row.kind] = row
		}
	})
	row, ok := kindIndex[kind]
	return row, ok
}

// checkAbout refuses an entry that lacks its point. One about the site that
// names a point is let be: old logs may hold it, and the point counts for nothing.
func checkAbout(body Body, point ID) error {
	if row, _ := findKind(body.Kind()); row.about == ofPoint && point.Zero() {
		return Errorf(Invalid, "", "an entry of kind %s needs its point", body.Kind())
	}
	return nil
}

// DecodeBody reads the JSON of a body of the given kind. Keys that the kind
// does not have are errors: dropping them would lose what somebody wrote.
func DecodeBody(kind Kind, raw []byte) (Body, error) {
	row, ok := findKind(kind)
	if !ok {
		return nil, Errorf(Newer, "it may come from a later Sootline; these kinds are known here", "kind %q is not known", clip(string(kind))).Do(ListKinds)
	}
	body, err := row.decode(raw)
	if err != nil {
		return nil, Errorf(Invalid, "", "what an entry of kind %s says could not be read: %w", kind, err)
	}
	return body, body.check()
}

func decode[B Body](raw []byte) (Body, error) {
	var body B
	if err := strictJSON(raw, &body); err != nil {
		return nil, err
	}
	return body, nil
}

// strictJSON decodes exactly one JSON value with no unknown keys.
func strictJSON(raw []byte, into any) error {
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.DisallowUnknownFields()
	if err := dec.Decode(into); err != nil {
		return err
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return errors.New("more than one JSON value")
	}
	return nil
}
