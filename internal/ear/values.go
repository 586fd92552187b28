package ear

import (
	"context"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"sootline"
)

// Place is where the value of a point is found: as its kind of source has it, and what it is multiplied by.
type Place struct {
	Point, Source, Unit string
	Scale               float64
	Least, Most         *float64 // what its values can be, where the mapping says so

	holds []uint16 // of Modbus: values of a register that are values here, though they often stand for none
	ask   Reading  // of Modbus
	topic string   // of MQTT, and the key in what is sent there
	key   string
	thing thing // of BACnet
}

// ValueSource gives values of places.
type ValueSource interface {
	// Values hands on values until ctx ends: each place is read when it begins and again after so long, and what is told unasked
	// is handed on when it comes. It waits and tries again when the other side is gone. After no time at all nothing is read
	// again, and what has no answer has none: it ends.
	Values(ctx context.Context, places []Place, every time.Duration, out ValueOut) error
}

// ValueOut is what a source of values is given to tell them.
type ValueOut struct {
	Value  func(at time.Time, place int, v float64) error
	Say    func(string)
	Now    func() time.Time
	Joined func(bool)
}

func (o ValueOut) joined(there bool) {
	if o.Joined != nil {
		o.Joined(there)
	}
}

// tell hands on a value of a place, by its scale; one that is no number says nothing.
func (o ValueOut) tell(p []Place, i int, v float64) error {
	v *= p[i].Scale
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return o.Value(o.Now(), i, v)
}

// OpenValues gives the source of values of a kind at an address.
func OpenValues(kind Kind, address string, speed int) (ValueSource, error) {
	switch kind {
	case ModbusTCP:
		return Polled{Name: address, Read: &Modbus{Address: address}, Pause: 10 * time.Millisecond}, nil
	case ModbusLine:
		return Polled{Name: address, Read: &Modbus{Line: Line{Path: address, Speed: speed}}, Pause: 50 * time.Millisecond}, nil
	case Broker:
		return Topics{Address: address}, nil
	case Device:
		return Things{Address: address}, nil
	}
	return nil, sootline.Errorf(sootline.Invalid, "name a source of values", "a source of kind %q gives no values", kind)
}

// placesMost is how many places a source may have.
const placesMost = 20_000

// ReadPlaces reads which value is of which point: lines of the columns point, source, unit and scale, in any order, by a heading,
// with commas, semicolons or tabs between them. What a source is depends on its kind. Every line is good, or all is refused with
// the line that is not.
func ReadPlaces(kind Kind, text string) ([]Place, error) {
	in := csv.NewReader(strings.NewReader(strings.TrimPrefix(text, "\ufeff")))
	in.FieldsPerRecord, in.TrimLeadingSpace, in.LazyQuotes = -1, true, true
	head, _, _ := strings.Cut(text, "\n")
	for _, c := range ";\t" {
		if strings.ContainsRune(head, c) {
			in.Comma = c
		}
	}
	columns, err := placeColumns(in)
	if err != nil {
		return nil, err
	}
	var all []Place
	for {
		row, err := in.Read()
		if err == io.EOF {
			break
		}
		line, _ := in.FieldPos(0)
		var p Place
		if err == nil {
			p, err = placeOf(kind, columns, row)
		}
		if err == nil && len(all) == placesMost {
			err = fmt.Errorf("more than %d places", placesMost)
		}
		if err != nil {
			return nil, sootline.Errorf(sootline.Invalid, kind.placeHint(), "which value is of which point, line %d: %w", line, err)
		}
		all = append(all, p)
	}
	if len(all) == 0 {
		return nil, sootline.Errorf(sootline.Invalid, "write a line for each point", "no point has a value")
	}
	return all, nil
}

func placeColumns(in *csv.Reader) (map[string]int, error) {
	row, err := in.Read()
	columns := map[string]int{}
	for i, name := range row {
		columns[strings.ToLower(strings.TrimSpace(name))] = i
	}
	_, point := columns["point"]
	_, source := columns["source"]
	if err != nil || !point || !source {
		return nil, sootline.Errorf(sootline.Invalid, "begin with the line point,source,unit,scale", "the first line names no columns point and source")
	}
	return columns, nil
}

func placeOf(kind Kind, columns map[string]int, row []string) (Place, error) {
	cell := func(name string) string {
		if i, ok := columns[name]; ok && i < len(row) {
			return strings.TrimSpace(row[i])
		}
		return ""
	}
	p := Place{Point: cell("point"), Source: cell("source"), Unit: cell("unit"), Scale: 1}
	if p.Point == "" {
		return p, fmt.Errorf("it names no point")
	}
	if text := cell("scale"); text != "" {
		scale, err := decimal(text)
		if err != nil || scale == 0 {
			return p, fmt.Errorf("scale %q of point %s", text, p.Point)
		}
		p.Scale = scale
	}
	for name, end := range map[string]**float64{"least": &p.Least, "most": &p.Most} {
		if text := cell(name); text != "" {
			v, err := decimal(text)
			if err != nil {
				return p, fmt.Errorf("%s %q of point %s", name, text, p.Point)
			}
			*end = &v
		}
	}
	if p.Least != nil && p.Most != nil && *p.Least > *p.Most {
		return p, fmt.Errorf("the least of point %s is more than its most", p.Point)
	}
	for text := range strings.FieldsSeq(cell("holds")) {
		n, err := strconv.ParseUint(text, 0, 16)
		if err != nil {
			return p, fmt.Errorf("%q, which is to hold at point %s, is no value of a register", text, p.Point)
		}
		p.holds = append(p.holds, uint16(n))
	}
	return p, p.find(kind)
}

// decimal reads a finite number. A comma is no thousand here: 0,1.
func decimal(text string) (float64, error) {
	v, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err == nil && (math.IsInf(v, 0) || math.IsNaN(v)) {
		err = strconv.ErrRange
	}
	return v, err
}

// noValue reports whether a register shows what often stands for no value: all bits set, or the ends of what is signed (common
// practice, no source). A mapping may say that it holds.
func (p *Place) noValue(v uint16) bool {
	if p.ask.table == Coils || p.ask.table == Inputs || slices.Contains(p.holds, v) {
		return false
	}
	return v == 0xFFFF || v == 0x8000 || v == 0x7FFF
}

// find understands the source of a place.
func (p *Place) find(kind Kind) (err error) {
	switch kind {
	case ModbusTCP, ModbusLine:
		var n [3]int
		parts := strings.Split(p.Source, ":")
		for i := 0; i < len(n) && err == nil && len(parts) == len(n); i++ {
			n[i], err = strconv.Atoi(strings.TrimSpace(parts[i]))
		}
		if err != nil || len(parts) != len(n) || n[0] < 0 || n[0] > 255 || n[1] < 0 || n[1] > 255 {
			return fmt.Errorf("%q is no place of Modbus", p.Source)
		}
		p.ask, err = ReadOf(byte(n[0]), Table(n[1]), n[2], 1)
	case Broker:
		p.topic, p.key, _ = strings.Cut(p.Source, "|")
		if p.topic == "" || strings.ContainsAny(p.topic, "#+\x00") || len(p.topic) > 65535 {
			return fmt.Errorf("%q is no topic of a value", p.Source)
		}
	case Device:
		p.thing, err = thingNamed(p.Source)
	default:
		return fmt.Errorf("a source of kind %q gives no values", kind)
	}
	return err
}

// placeHint says how the source of a place is written.
func (k Kind) placeHint() string {
	switch k {
	case Broker:
		return "a source is a topic, where a number is sent, or topic|key, where an object of JSON has it"
	case Device:
		return "a source is an object, analog-input:12 say, or its type and instance as numbers, 0:12"
	}
	return "a source is unit:table:register, 3:4:100 say: tables are 1 to 4, registers count from 0"
}

// Polled reads places of Modbus one after the other, at a pace that a bus bears.
type Polled struct {
	Name  string
	Read  *Modbus
	Pause time.Duration // between two requests
}

// failuresMost is how many places without an answer in a row say that the other side is gone.
const failuresMost = 3

// Values reads all places, and again after so long.
func (p Polled) Values(ctx context.Context, places []Place, every time.Duration, out ValueOut) (err error) {
	defer func() { _ = p.Read.Close() }() // only asked
	for ctx.Err() == nil {
		begun := time.Now()
		if err := p.round(ctx, places, every, out); err != nil || every == 0 {
			return err
		}
		sleep(ctx, max(p.Pause, every-time.Since(begun)))
	}
	return nil
}

// round reads each place once. Where nothing answers it waits, ever longer, and goes on there.
func (p Polled) round(ctx context.Context, places []Place, every time.Duration, out ValueOut) error {
	failed, wait, begun := 0, firstWait, time.Now()
	var refused, none []string
	for i := 0; i < len(places) && ctx.Err() == nil && (every == 0 || time.Since(begun) < every); i++ {
		values, err := p.Read.Read(ctx, places[i].ask)
		if err == nil {
			out.joined(true)
			failed, wait = 0, firstWait
			if places[i].noValue(values[0]) {
				none = append(none, fmt.Sprintf("%s (0x%04X)", places[i].Point, values[0]))
			} else if err := out.tell(places, i, float64(values[0])); err != nil {
				return err
			}
			sleep(ctx, p.Pause)
			continue
		}
		if again := (Refused{}); asRefused(err, &again) && !again.busy() {
			refused = append(refused, fmt.Sprintf("%s (exception %d)", places[i].Point, again.Code))
			continue // it answers, and has no such place
		}
		if failed++; failed < failuresMost {
			i-- // once more
			sleep(ctx, p.Pause)
			continue
		}
		out.joined(false)
		if every == 0 {
			out.Say(p.Name + ": " + places[i].Point + " has no answer: " + err.Error())
			failed = 0
			continue
		}
		i--
		out.Say(p.Name + ": " + places[i].Point + " has no answer: " + err.Error() + "; tried again in " + wait.String())
		sleep(ctx, wait)
		wait, failed = min(2*wait, lastWait), 0
	}
	p.tell(out, "the device refuses", refused)
	p.tell(out, "what stands for no value is shown, and not kept, by", none)
	return nil
}

// namedMost is how many points are named where something is told of several.
const namedMost = 5

// tell names the points of which something is to be told.
func (p Polled) tell(out ValueOut, what string, points []string) {
	if len(points) == 0 {
		return
	}
	text := p.Name + ": " + what + " " + strings.Join(points[:min(len(points), namedMost)], ", ")
	if more := len(points) - namedMost; more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	out.Say(text)
}

func sleep(ctx context.Context, d time.Duration) {
	select {
	case <-ctx.Done():
	case <-time.After(d):
	}
}
