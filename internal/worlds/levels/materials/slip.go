package materials

import (
	"math"
	"strconv"
	"strings"
)

// slip is a value that the pen makes of one that was shown: ten times, a tenth, two digits exchanged, or one
// digit wrong. It may come out as the same value.
func slip(c chance, value float64, on *scale) float64 {
	if on.step < 1 && c.hit(0.3) {
		return math.Round(value * 100) // the point left out
	}
	switch c.IntN(4) {
	case 0:
		return math.Round(value*1000) / 100
	case 1:
		return math.Round(value*10) / 100
	case 2:
		return digits(c, value, exchanged)
	}
	return digits(c, value, mistyped)
}

// digits changes one place of a number as it is written.
func digits(c chance, value float64, how func(c chance, text []byte, at int)) float64 {
	text := []byte(strconv.FormatFloat(value, 'f', -1, 64))
	at := c.IntN(len(text))
	how(c, text, at)
	wrong, err := strconv.ParseFloat(string(text), 64)
	if err != nil || strings.HasSuffix(string(text), ".") {
		return value
	}
	return wrong
}

func exchanged(_ chance, text []byte, at int) {
	if next := (at + 1) % len(text); text[at] != '.' && text[next] != '.' {
		text[at], text[next] = text[next], text[at]
	}
}

func mistyped(c chance, text []byte, at int) {
	if text[at] != '.' {
		text[at] = byte('0' + c.IntN(10))
	}
}
