package paper

import (
	"fmt"
	"runtime"
	"strconv"
	"sync"

	"github.com/piglig/go-qr"

	"sootline"
)

// quiet is the empty edge that a square code needs, in its squares (ISO/IEC 18004,
// from memory). With 2 of them zbar missed some codes of a full sheet.
const quiet = 4

// squareCode is a square code as the rectangles of a PDF path, one unit a square.
type squareCode struct {
	size int // squares a side, without the quiet edge
	path []byte
}

// squares makes the codes of labels on all cores: choosing the pattern of each
// takes most of the time of a sheet.
func squares(labels []Label) ([]squareCode, error) {
	codes, errs := make([]squareCode, len(labels)), make([]error, len(labels))
	var hands sync.WaitGroup
	workers := runtime.GOMAXPROCS(0)
	for hand := range workers {
		hands.Go(func() {
			for i := hand; i < len(labels); i += workers {
				codes[i], errs[i] = caughtSquare(labels[i].Code)
			}
		})
	}
	hands.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return codes, nil
}

// caughtSquare draws a code beside others: a fault in one ends no program.
func caughtSquare(text string) (code squareCode, err error) {
	defer sootline.Caught(&err)
	return newSquare(text)
}

// newSquare draws a code. The squares of a row that touch are one rectangle, in
// whole numbers: a sheet of labels would be large otherwise.
func newSquare(text string) (squareCode, error) {
	code, err := go_qr.EncodeText(text, go_qr.Medium)
	if err != nil {
		return squareCode{}, sootline.Errorf(sootline.Invalid, "", "a code of %q cannot be drawn: %w", text, err)
	}
	s := squareCode{size: code.Size()}
	for row := range s.size {
		for from := 0; from < s.size; from++ {
			if !code.Module(from, row) {
				continue
			}
			to := from
			for to < s.size && code.Module(to, row) {
				to++
			}
			for _, n := range []int{from, row, to - from} {
				s.path = strconv.AppendInt(append(s.path, ' '), int64(n), 10)
			}
			s.path = append(s.path, " 1 re"...)
			from = to
		}
	}
	return s, nil
}

// square draws a code of that side, its quiet edge within.
func (p *press) square(code squareCode, x, y, side float64) {
	unit := side / float64(code.size+2*quiet) / perPt
	p.RawWriteStr(fmt.Sprintf("q 0 g %.4f 0 0 -%.4f %.3f %.3f cm%s f Q\n", unit, unit, x/perPt+quiet*unit, (p.size.Height-y)/perPt-quiet*unit, code.path))
}
