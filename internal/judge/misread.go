package judge

import (
	"math"
	"strconv"
)

// meaning is what may have been meant by a value that was written: how likely a slip is of that kind, as a
// density at the value that was written.
type meaning struct {
	kind   QuestionKind
	y      float64
	chance float64
}

// misread lists what may have been meant by a value: two neighbouring digits exchanged, or ten times or a tenth
// of it.
func misread(y float64) []meaning {
	if y == 0 || math.Abs(y) > 1e6 {
		return nil
	}
	all := []meaning{{AskFactorTen, y / 10, 0.01}, {AskFactorTen, y * 10, 1}}
	text := []byte(strconv.FormatFloat(math.Abs(y), 'f', -1, 64))
	for i := 1; i < len(text); i++ {
		if text[i] == '.' || text[i-1] == '.' || text[i] == text[i-1] {
			continue
		}
		text[i], text[i-1] = text[i-1], text[i]
		meant, _ := strconv.ParseFloat(string(text), 64)
		text[i], text[i-1] = text[i-1], text[i]
		all = append(all, meaning{AskTransposed, math.Copysign(meant, y), 0.2})
	}
	return all
}
