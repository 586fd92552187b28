package listing

import (
	"strconv"
	"strings"
)

// mostFormula bounds the formulas that are worked out, in bytes: those of figures alone are short.
const mostFormula = 200

// computed works out a formula of figures, signs and brackets alone, such as 31+0.5, to the 15 digits that a spreadsheet
// program would store (ECMA-376 part 1, 18.17; OpenFormula 6.4). It gives false for one with anything else in it, such as
// the name of a cell or a division by nothing: whoever made the file has to compute that.
func computed(formula string) (result string, ok bool) {
	if _, rest, found := strings.Cut(formula, ":="); found { // "of:=31+0" of an OpenDocument sheet
		formula = rest
	}
	if len(formula) > mostFormula {
		return "", false
	}
	a := arithmetic{rest: strings.TrimPrefix(formula, "=")}
	v := a.sum()
	if a.next(); a.bad || a.rest != "" {
		return "", false
	}
	raw := strconv.FormatFloat(v, 'g', 15, 64)
	return plainDigits(raw, v), true
}

// arithmetic reads a formula from its front.
type arithmetic struct {
	rest string
	bad  bool
}

// next passes over spaces and gives the sign that follows, 0 at the end.
func (a *arithmetic) next() byte {
	if a.rest = strings.TrimLeft(a.rest, " "); a.rest == "" {
		return 0
	}
	return a.rest[0]
}

func (a *arithmetic) sum() float64 {
	v := a.product()
	for !a.bad {
		switch a.next() {
		case '+':
			a.rest = a.rest[1:]
			v += a.product()
		case '-':
			a.rest = a.rest[1:]
			v -= a.product()
		default:
			return v
		}
	}
	return v
}

func (a *arithmetic) product() float64 {
	v := a.operand()
	for !a.bad {
		switch a.next() {
		case '*':
			a.rest = a.rest[1:]
			v *= a.operand()
		case '/':
			a.rest = a.rest[1:]
			by := a.operand()
			a.bad = a.bad || by == 0
			v /= by
		default:
			return v
		}
	}
	return v
}

func (a *arithmetic) operand() float64 {
	switch c := a.next(); c {
	case '+', '-', '(':
		a.rest = a.rest[1:]
		if c != '(' {
			v := a.operand()
			if c == '-' {
				v = -v
			}
			return v
		}
		v := a.sum()
		a.bad = a.bad || a.next() != ')'
		a.rest = strings.TrimPrefix(a.rest, ")")
		return v
	}
	n := 0
	for n < len(a.rest) && (isDigit(a.rest[n]) || a.rest[n] == '.') {
		n++
	}
	v, err := strconv.ParseFloat(a.rest[:n], 64)
	a.bad = a.bad || err != nil
	a.rest = a.rest[n:]
	return v
}
