package fault

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"sootline"
)

// messageWords are what the panel says, as it is typed.
var messageWords = [...]string{
	Silent: "nothing", SaysOpen: "open", SaysShort: "short", SaysEarth: "earth", SaysDouble: "double", SaysMissing: "missing",
	SaysCurrent: "current", SaysOhms: "ohms",
}

// seenWords are what is seen at a device or along a stretch, as it is typed.
var seenWords = [...]string{
	0: "nothing", Open: "break", Short: "short", Earth: "earth", Contact: "contact", Leakage: "leakage", StuckOpen: "stuck-open",
	StuckShut: "stuck-shut", Double: "double", Dead: "dead", Polarity: "polarity", Overload: "overload", Misset: "number",
}

// Panel reads what the panel says with both ends plugged in, in pieces divided by semicolons: "says open; silent 16-29;
// out 42; in 38". What is left out is not known.
func (r *Ring) Panel(text string) (Answer, error) { return r.answer(Step{OpenAt: None}, text) }

// Told reads a step with its answer: "out/list: silent 16-29; says nothing", "off/ohms-in: 12.4" or "over",
// "both/look=1.2.014: nothing".
func (r *Ring) Told(text string) (Asked, error) {
	spelled, answer, ok := strings.Cut(text, ":")
	if !ok {
		return Asked{}, sootline.Errorf(sootline.Invalid, "for example \"out/list: silent 16-29\"", "%q is not a step, a colon and its answer", text)
	}
	step, err := r.Step(spelled)
	if err != nil {
		return Asked{}, err
	}
	a, err := r.answer(step, answer)
	return Asked{step, a}, err
}

// seen finds what is seen, by its word or as it is called; -1: it is neither.
func seen(text string) int {
	text = strings.ToLower(text)
	for _, kind := range Kinds() {
		called := strings.TrimPrefix(strings.TrimPrefix(kind.String(), "a device with "), "a ")
		if text == called || text == kind.String() {
			return int(kind)
		}
	}
	return slices.Index(seenWords[:], text)
}

func (r *Ring) answer(s Step, text string) (Answer, error) {
	a := unread()
	text = strings.TrimSpace(text)
	switch s.Look {
	case AtVolts:
		if err := figure(text, &a.Volts, -1000); err != nil {
			return a, err
		}
		return a, r.bearable(a.Volts)
	case AtOhms:
		if strings.EqualFold(text, "over") {
			a.Ohms = math.Inf(1)
			return a, nil
		}
		err := figure(text, &a.Ohms, 0)
		return a, err
	case AtDevice, AtStretch:
		k := seen(text)
		if k < 0 {
			return a, sootline.Errorf(sootline.Invalid, "one of "+strings.Join(seenWords[:], ", "), "%q is nothing that is to be seen", text)
		}
		a.Found = Kind(k)
		return a, nil
	}
	for piece := range strings.SplitSeq(text, ";") {
		if err := r.panelPiece(&a, strings.TrimSpace(piece)); err != nil {
			return a, err
		}
	}
	return a, nil
}

// mostSupply is by how much the volts of a panel's supply pass the usual ones at the highest charge: a judgement of ours, no
// source.
const mostSupply = 1.25

// bearable refuses volts that no supply of the loop gives: something else is on the cores, and nobody goes on with hands on them.
func (r *Ring) bearable(volts float64) error {
	switch x := math.Abs(volts); {
	case x >= sootline.DangerousVolts:
		return sootline.Errorf(sootline.Conflict, "stop: hands off the cores, and find with the mains off what feeds them before anything else", "%g V between the cores are dangerous, and come from no loop", volts)
	case x > r.mostVolts():
		return sootline.Errorf(sootline.Conflict, "stop, and measure again: if it stands, something else feeds the cores; find it before the search goes on", "%g V between the cores are more than the panel's %g V can be", volts, r.Volts)
	}
	return nil
}

// meterVolts is by how much a reading of volts may be off: ours, no source.
const meterVolts = 0.02

func (r *Ring) mostVolts() float64 {
	if r.MostVolts > 0 {
		return r.MostVolts * (1 + meterVolts)
	}
	return mostSupply * r.Volts
}

// reversedFrom is from how many volts below none a reading is no zero of the meter: ours, no source.
const reversedFrom = 1

// Reversed says of volts that read below none what that is, and what to do; empty for all else.
func (r *Ring) Reversed(a *Asked) string {
	if a.Step.Look != AtVolts || !(a.Answer.Volts < -reversedFrom) {
		return ""
	}
	return fmt.Sprintf("%g V at %s is reversed polarity. Hold the red lead to plus and the black one to minus, and read it again. If it stands, plus and minus are changed over there, or in the cable on the way there: read the device before it in the same way, and mend where it turns.", a.Answer.Volts, r.Devices[a.Step.At].Name)
}

// panelPiece reads one piece of what the panel says.
func (r *Ring) panelPiece(a *Answer, piece string) error {
	word, rest := leading(piece)
	switch word {
	case "":
		return nil
	case "says":
		k := message(rest)
		if k < 0 {
			return sootline.Errorf(sootline.Invalid, "one of "+strings.Join(messageWords[:], ", "), "%q is nothing that the panel says here", rest)
		}
		a.Message = Message(k)
		return nil
	case "all", "none", "answers", "silent":
		return r.listPiece(a, word, rest)
	case "twice":
		k, err := r.device(rest)
		if a.Twice = k; a.Message == Unread {
			a.Message = SaysDouble
		}
		return err
	case "out":
		return figure(rest, &a.OutMA, 0)
	case "in":
		return figure(rest, &a.InMA, 0)
	}
	return sootline.Errorf(sootline.Invalid, "for example \"says open; silent 16-29; out 42; in 38\", with milliamperes", "%q is nothing that the panel tells here; it is all, none, silent or answers with numbers, twice with a number, out or in with milliamperes, or says with one of %s", piece, strings.Join(messageWords[:], ", "))
}

// listPiece reads who answers. A second list beside the first would replace it without a word, so it is refused.
func (r *Ring) listPiece(a *Answer, word, rest string) error {
	if a.Answers != nil {
		return sootline.Errorf(sootline.Invalid, "tell once who answers: all, none, silent 16-29 or answers 1-15", "who answers is told twice")
	}
	switch word {
	case "all":
		a.Answers = slices.Repeat([]bool{true}, len(r.Devices))
		return nil
	case "none":
		a.Answers = make([]bool, len(r.Devices))
		return nil
	}
	list, err := r.list(rest)
	if err != nil {
		return err
	}
	if word == "silent" {
		if !slices.Contains(list, true) {
			return r.offRing(rest)
		}
		for k := range list {
			list[k] = !list[k]
		}
		a.OnSpurs = r.silentSpurs(rest, list)
	}
	a.Answers = list
	return nil
}

// silentSpurs lists what a list of the silent names on spurs that begin at a device that answers.
func (r *Ring) silentSpurs(text string, answers []bool) []string {
	var silent []string
	for _, spur := range slices.Sorted(maps.Keys(r.spurs)) {
		if answers[r.spurs[spur]] && r.within(spur, text) {
			silent = append(silent, spur)
		}
	}
	return silent
}

// LookFirst says where to look before the search goes on: along spurs on which devices are silent though the ring feeds them,
// for no answer of the ring tells why. Empty where there is none.
func (r *Ring) LookFirst(panel *Answer) string {
	if len(panel.OnSpurs) == 0 {
		return ""
	}
	var names []string
	for _, spur := range panel.OnSpurs {
		names = append(names, fmt.Sprintf("%s (on the spur at %s)", spur, r.Devices[r.spurs[spur]].Name))
	}
	return fmt.Sprintf("Silent too, where this search does not look: %s. Look there first.", strings.Join(names, ", "))
}

// offRing says why none of the devices that are silent is searched for: they hang on a spur, or there are none.
func (r *Ring) offRing(text string) error {
	for _, spur := range slices.Sorted(maps.Keys(r.spurs)) {
		if r.within(spur, text) {
			return sootline.Errorf(sootline.Conflict, "look along the spur by hand, or leave it out of the list", "%s is silent, and is on the spur at %s, along which the search does not look: look there", spur, r.Devices[r.spurs[spur]].Name)
		}
	}
	return sootline.Errorf(sootline.NotFound, "name devices of the loop, by their references or numbers", "no device of the loop is among %q", text)
}

// within reports whether a point is among those that a list names.
func (r *Ring) within(name, text string) bool {
	for part := range strings.FieldsFuncSeq(toDash.Replace(text), func(c rune) bool { return c == ',' || c == ' ' }) {
		from, to, isRange := strings.Cut(part, "-")
		low, high := numberOf(from), numberOf(to)
		if !isRange && (name == part || sameName(name, part) || part == strconv.Itoa(numberOf(name))) || isRange && low <= numberOf(name) && numberOf(name) <= high {
			return true
		}
	}
	return false
}

// message finds what the panel says, by its word or as it is called; -1: it is neither.
func message(text string) int {
	text = strings.TrimSuffix(strings.TrimSpace(text), " fault")
	if k := slices.Index(messageWords[:], text); k >= 0 {
		return k
	}
	flat := func(text string) string { return strings.NewReplacer(",", "", " or ", " ").Replace(text) }
	for k, one := range Messages() {
		if flat(text) == flat(one.Says) {
			return k
		}
	}
	for _, other := range [...]struct {
		said string
		is   Message
	}{{"open circuit", SaysOpen}, {"short circuit", SaysShort}, {"isolators open", SaysShort}, {"duplicate address", SaysDouble}} {
		if text == other.said {
			return int(other.is)
		}
	}
	return -1
}

// sayings are what people write for a word of [Ring.Panel]; the longer come before what they begin with.
var sayings = [...]struct{ said, word, rest string }{
	{"says double", "twice", ""},
	{"says duplicate address", "twice", ""},
	{"double address", "twice", ""},
	{"duplicate address", "twice", ""},
	{"open circuit", "says", "open"},
	{"short isolators open", "says", "short"},
	{"loop current too high", "says", "current"},
	{"loop resistance too high", "says", "ohms"},
	{"no answer from", "silent", ""},
	{"earth fault", "says", "earth"},
	{"open loop", "says", "open"},
	{"short circuit", "says", "short"},
	{"devices missing", "silent", ""},
	{"missing", "silent", ""},
	{"not answering", "silent", ""},
	{"answering", "answers", ""},
}

// leading cuts a piece into the word that it begins with and its rest.
func leading(piece string) (word, rest string) {
	piece = strings.ToLower(strings.Join(strings.Fields(piece), " "))
	for _, s := range sayings {
		if rest, ok := strings.CutPrefix(piece, s.said); ok && (rest == "" && !strings.HasPrefix(s.said, "says ") || rest != "" && rest[0] == ' ') {
			return s.word, strings.TrimSpace(s.rest + rest)
		}
	}
	word, rest, _ = strings.Cut(piece, " ")
	return word, rest
}

// figure reads a number that is no less than the least. Its unit may be there, and a comma before its decimals.
func figure(text string, to *float64, least float64) error {
	text = strings.ToLower(strings.TrimSpace(text))
	times := 1.0
	if number, ok := strings.CutSuffix(strings.TrimSuffix(text, "s"), "kohm"); ok {
		text, times = strings.TrimSpace(number), 1000
	}
	for _, unit := range []string{"ma", "v", "volts", "ohms", "ohm"} {
		if number, ok := strings.CutSuffix(text, unit); ok {
			text = strings.TrimSpace(number)
			break
		}
	}
	x, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) || x < least {
		return sootline.Errorf(sootline.Invalid, "write the number alone, for example 12.4", "%q is not a reading", text)
	}
	*to = times * x
	return nil
}

// Choice is a word of an answer, with what it says.
type Choice struct{ Word, Says string }

// Messages lists what the panel may say.
func Messages() []Choice {
	says := [...]string{
		Silent: "nothing", SaysOpen: "open loop", SaysShort: "short, or isolators open", SaysEarth: "earth fault", SaysDouble: "double address",
		SaysMissing: "devices missing", SaysCurrent: "loop current too high", SaysOhms: "loop resistance too high",
	}
	var all []Choice
	for k, word := range messageWords {
		all = append(all, Choice{word, says[k]})
	}
	return all
}

// Sights lists what may be seen at a device or along a stretch.
func Sights() []Choice {
	all := []Choice{{seenWords[0], "nothing is wrong there"}}
	for _, kind := range Kinds() {
		all = append(all, Choice{seenWords[kind], kind.String()})
	}
	return all
}
