package sootline

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
)

// kinds is the whole table of what an entry can say: one line a kind.
func kinds() [27]kindRow {
	return [...]kindRow{
		{OpenedKind, decode[Opened], "site facts and rules"},
		{ServiceKind, decode[Service], "the rules of service, and what working here takes"},
		{LoopKind, decode[LoopFacts], "the span of a loop and its unset number"},
		{AreaKind, decode[AreaFacts], "how large an area is, and on which floor"},
		{SupplyKind, decode[Supply], "what feeds a loop, and what its cable is"},
		{SheetKind, decode[Sheet], "what is known of a type of device"},
		{FittedKind, decode[Fitted], "a device is in place here"},
		{MovedKind, decode[Moved], "the point is elsewhere, or is described otherwise"},
		{RemovedKind, decode[Removed], "the point is no more"},
		{AddressedKind, decode[Addressed], "the number it should have, or was found to have"},
		{SetKind, decode[Set], "settings wanted, or found"},
		{ReadKind, decodeRead, "samples of a resting value"},
		{TestedKind, decode[Tested], "a function test"},
		{UnreachedKind, decode[Unreached], "somebody came and could not get at it"},
		{CleanedKind, decode[Cleaned], "cleaned: a drift starts afresh"},
		{ReplacedKind, decode[Replaced], "another device at the same point"},
		{RebasedKind, decode[Rebased], "the resting value was set anew in device or panel"},
		{AlarmKind, decode[Alarm], "a fire alarm, wanted or not"},
		{FaultKind, decode[Fault], "a fault was shown"},
		{DisabledKind, decode[Disabled], "taken out of use"},
		{RestoredKind, decode[Restored], "back in use"},
		{ChangedKind, decode[Changed], "the configuration was changed"},
		{VisitKind, decode[Visit], "an attendance on site begins or ends"},
		{NoteKind, decode[Note], "a remark"},
		{PinnedKind, decode[Pinned], "where the chains of other stations ended; the program writes it"},
		{CorrectedKind, decodeCorrected, "puts another entry right"},
		{WithdrawnKind, decode[Withdrawn], "takes another entry back"},
	}
}

type kindRow struct {
	kind   Kind
	decode func(raw []byte) (Body, error)
	says   string
}

// Kinds lists the kinds that an entry can be of, with what each says.
func Kinds() (names []Kind, says map[Kind]string) {
	says = map[Kind]string{}
	for _, row := range kinds() {
		names = append(names, row.kind)
		says[row.kind] = row.says
	}
	return names, says
}

func findKind(kind Kind) (kindRow, bool) {
	for _, row := range kinds() {
		if row.kind == kind {
			return row, true
		}
	}
	return kindRow{}, false
}

// aboutPoint reports whether an entry of this kind needs its point.
func aboutPoint(kind Kind) bool {
	switch kind {
	case FittedKind, MovedKind, RemovedKind, AddressedKind, SetKind, ReadKind,
		TestedKind, UnreachedKind, CleanedKind, ReplacedKind, RebasedKind:
		return true
	}
	return false
}

// DecodeBody reads the JSON of a body of the given kind. Keys that the kind
// does not have are errors: dropping them would lose what somebody wrote.
func DecodeBody(kind Kind, raw []byte) (Body, error) {
	row, ok := findKind(kind)
	if !ok {
		return nil, Errorf(Newer, "it may come from a later Sootline; `sootline log add --help` lists the kinds", "kind %q is not known", clip(string(kind)))
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
