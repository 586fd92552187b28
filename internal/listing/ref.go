package listing

import (
	"errors"
	"strings"

	"sootline"
)

// Ref is a reference to a point. Panel and Loop are upper-cased without leading zeros and empty when
// the listing leaves them out. Its strings may share memory with the row they were read from.
type Ref struct {
	Panel, Loop string
	Address     int
	Range       sootline.NumberRange // of its loop, where the listing says which: 073m
}

var (
	errNoAddress = errors.New("no address in it")
	errRefShape  = errors.New("not a reference to a point")
	errAddress   = errors.New("the address is not a whole number from 0 up")
)

// maxAddressDigits keeps an address far inside an int; spans are checked elsewhere.
const maxAddressDigits = 6

// part is one labelled or bare component of a reference.
type part struct {
	label byte // 'P', 'L', 'A' or 0
	text  string
}

// refScan walks a reference once, without allocating.
type refScan struct {
	s     string
	i     int
	parts [3]part
	n     int
}

// ParseRef reads the many ways people write a point: "L1-073", "1/73", "1.2.073", "Loop 1 Addr 073",
// "P1 L2 A73". Bare numbers are address, loop, panel from right to left. Text is taken as written:
// "1.10" is address 10.
func ParseRef(s string) (Ref, error) {
	s, of := rangeInFront(strings.TrimSpace(s))
	sc := refScan{s: s}
	if strings.HasPrefix(sc.s, "#") {
		sc.i++
	}
	if sc.s == "" {
		return Ref{}, errNoAddress
	}
	for sc.i < len(sc.s) {
		if !sc.part() || (sc.i < len(sc.s) && !sc.gap()) {
			return Ref{}, errRefShape
		}
	}
	ref, err := sc.assign()
	ref.Range = of
	return ref, err
}

// gap passes the separator between two parts: spaces around at most one mark. Parts may also touch, as
// in "L1A73". It reports false for a dangling or doubled mark.
func (sc *refScan) gap() bool {
	marks := 0
	for ; sc.i < len(sc.s); sc.i++ {
		switch sc.s[sc.i] {
		case ' ', '\t', '#':
		case '.', '/', '-', '_', ':', ',', '\\', '|', ';':
			marks++
		default:
			return marks <= 1
		}
	}
	return false
}

// part reads one component: a label with its value, a bare number, or a name.
func (sc *refScan) part() bool {
	if sc.n == len(sc.parts) {
		return false
	}
	if isDigit(sc.s[sc.i]) {
		return sc.add(0, sc.digits())
	}
	start := sc.i
	word := sc.letters()
	if word == "" {
		return false
	}
	label := refLabel(word)
	mark, next := sc.peek()
	switch {
	case next == 0:
		return false
	case label != 0 && sc.labels(word, mark):
		sc.i = next - 1
		if isDigit(sc.s[sc.i]) {
			return sc.add(label, sc.digits())
		}
		name := sc.letters()
		return label != 'A' && (len(name) == 1 || refLabel(name) == 0) && sc.add(label, name)
	case mark == 0 && isDigit(sc.s[sc.i]):
		// An unknown word with digits, "FP1", can only name a panel or a loop.
		sc.digits()
		return sc.i < len(sc.s) && sc.add(0, sc.s[start:sc.i])
	case mark == 0 || mark == ' ':
		return false
	}
	return sc.add(0, word)
}

// labels tells whether word labels what follows it. A single letter before a mark, "A/73", is a name,
// unless the numbers still to come, or the labels before it, show that it must be one: "P-1-L-2-A-73".
func (sc *refScan) labels(word string, mark byte) bool {
	if len(word) > 1 || mark == 0 || mark == ' ' {
		return true
	}
	numbers := sc.numbersLeft()
	if word == "A" || word == "a" {
		return numbers == 1 && sc.n > 0 && sc.parts[sc.n-1].label != 0
	}
	return numbers > 1
}

func (sc *refScan) numbersLeft() int {
	n := 0
	for i := sc.i; i < len(sc.s); i++ {
		if isDigit(sc.s[i]) && (i == 0 || !isDigit(sc.s[i-1])) {
			n++
		}
	}
	return n
}

// peek looks over a gap: the mark in it (0 when parts touch, ' ' for space) and one past the index of
// what follows, 0 when nothing does.
func (sc *refScan) peek() (mark byte, next int) {
	for i := sc.i; i < len(sc.s); i++ {
		switch c := sc.s[i]; c {
		case ' ', '\t', '#':
			if mark == 0 {
				mark = ' '
			}
		case '.', '/', '-', '_', ':', ',', '\\', '|', ';':
			if mark != 0 && mark != ' ' {
				return 0, 0
			}
			mark = c
		default:
			return mark, i + 1
		}
	}
	return mark, 0
}

func (sc *refScan) digits() string {
	start := sc.i
	for sc.i < len(sc.s) && isDigit(sc.s[sc.i]) {
		sc.i++
	}
	return sc.s[start:sc.i]
}

func (sc *refScan) letters() string {
	start := sc.i
	for sc.i < len(sc.s) && isLetter(sc.s[sc.i]) {
		sc.i++
	}
	return sc.s[start:sc.i]
}

func (sc *refScan) add(label byte, text string) bool {
	if text == "" {
		return false
	}
	sc.parts[sc.n] = part{label, text}
	sc.n++
	return true
}

// assign puts the labelled parts in their places and fills the rest from the right.
func (sc *refScan) assign() (Ref, error) {
	var panel, loop, address string
	for i := sc.n - 1; i >= 0; i-- {
		p := sc.parts[i]
		place := &address
		switch {
		case p.label == 'P' || p.label == 0 && address != "" && loop != "":
			place = &panel
		case p.label == 'L' || p.label == 0 && address != "":
			place = &loop
		}
		if *place != "" || (place == &address && i != sc.n-1) {
			return Ref{}, errRefShape
		}
		*place = p.text
	}
	if address == "" {
		return Ref{}, errNoAddress
	}
	n, ok := wholeNumber(address)
	if !ok {
		return Ref{}, errAddress
	}
	return Ref{Panel: normalName(panel), Loop: normalName(loop), Address: n}, nil
}

// parseAddress reads the cell of an address column: a number, perhaps labelled.
func parseAddress(s string) (int, error) {
	s = strings.TrimSpace(s)
	if n, ok := wholeNumber(s); ok {
		return n, nil
	}
	ref, err := ParseRef(s)
	if err != nil || ref.Loop != "" || ref.Panel != "" {
		return 0, errAddress
	}
	return ref.Address, nil
}

// parseName reads the cell of a panel or loop column: "1", "01", "Loop 1", "L1", "B".
func parseName(s string, label byte) string {
	s = strings.TrimSpace(s)
	sc := refScan{s: s}
	if word := sc.letters(); word != "" && refLabel(word) == label {
		if _, next := sc.peek(); next > 0 {
			s = s[next-1:]
		}
	}
	return normalName(s)
}

func wholeNumber(s string) (int, bool) {
	if s == "" || len(s) > maxAddressDigits {
		return 0, false
	}
	n := 0
	for i := range len(s) {
		if !isDigit(s[i]) {
			return 0, false
		}
		n = n*10 + int(s[i]-'0')
	}
	return n, true
}

// normalName drops the leading zeros of the digits that end a name and upper-cases its letters.
func normalName(s string) string {
	i := len(s)
	for i > 0 && isDigit(s[i-1]) {
		i--
	}
	j := i
	for j < len(s)-1 && s[j] == '0' {
		j++
	}
	switch {
	case i == 0:
		return s[j:]
	case i == j:
		return strings.ToUpper(s)
	}
	return strings.ToUpper(s[:i]) + s[j:]
}

func isDigit(c byte) bool  { return c-'0' < 10 }
func isLetter(c byte) bool { return (c|0x20)-'a' < 26 || c >= 0x80 }

// refLabel tells what a word announces: 'P' a panel, 'L' a loop, 'A' an address, 0 nothing known.
func refLabel(word string) byte {
	if len(word) == 1 {
		switch word[0] | 0x20 {
		case 'p':
			return 'P'
		case 'l':
			return 'L'
		case 'a':
			return 'A'
		}
		return 0
	}
	switch strings.ToLower(word) {
	case "panel", "pnl", "zentrale", "centrale", "central", "paneel", "pannello":
		return 'P'
	case "loop", "lp", "ring", "schleife", "boucle", "lazo", "bucle", "anello", "lus", "line", "linie", "linea", "ligne":
		return 'L'
	case "addr", "address", "adr", "adresse", "dir", "direccion", "dirección", "ind", "indirizzo", "adres",
		"point", "pt", "device", "dev", "no", "nr", "melder", "punkt", "punto":
		return 'A'
	}
	return 0
}
