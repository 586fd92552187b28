package judge

import (
	"math"

	"sootline/internal/robust"
)

// All looks of one day at a type share what is common to them: another instrument, a setting of the panel, the air of
// that season. It is what is left, in the middle of all, when each point's own line is taken out (median polish,
// Tukey 1977, with lines for the rows), and is taken off as far as it exceeds what noise makes of it. Lines and
// offsets are found in turn, so that what both could explain goes to the lines.

// visit is the looks at a type on one day.
type visit struct {
	off   []float64 // distances of its looks from their lines
	taken float64
}

// piece is a few looks in a row that no reset parts, through which a line is drawn.
type piece struct {
	p        *past
	from, to int
	visits   []*visit
}

const (
	offsetSweeps = 6 // after them the offsets of the test below stand still
	longestPiece = 6 // a line over more looks would bend, and the bend look like an offset
	leastVisit   = 4 // looks: two may both be the odd one, and of three one
)

// takeOffsets takes off what the visits to a type share.
func (k *kin) takeOffsets() {
	visits := map[int64]*visit{}
	var pieces []piece
	for _, p := range k.members {
		for from := 0; from < len(p.looks); {
			to := from + 1
			for to < len(p.looks) && !p.apart(to) {
				to++
			}
			for parts := (to - from + longestPiece - 1) / longestPiece; parts > 0; parts-- {
				end := from + (to-from)/parts
				pieces = append(pieces, pieceOf(p, from, end, visits))
				from = end
			}
		}
	}
	if len(k.members) < leastVisit {
		return
	}
	for range offsetSweeps {
		for i := range pieces {
			pieces[i].line(math.Sqrt(k.noise))
		}
		settle(visits)
	}
	for i := range pieces {
		for n, v := range pieces[i].visits {
			pieces[i].p.z[pieces[i].from+n] -= v.taken
		}
	}
}

func pieceOf(p *past, from, to int, visits map[int64]*visit) piece {
	c := piece{p: p, from: from, to: to}
	for i := from; i < to; i++ {
		d := day(p.looks[i].at)
		if visits[d] == nil {
			visits[d] = &visit{}
		}
		c.visits = append(c.visits, visits[d])
	}
	return c
}

// line draws the line of a piece, and notes how far its looks lie off it. A look far off draws less.
func (c *piece) line(sd float64) {
	n := c.to - c.from
	if n < 3 {
		return
	}
	t, z := c.p.looks[c.from:c.to], c.p.z[c.from:c.to]
	var weight [longestPiece]float64
	for i := range n {
		weight[i] = 1
	}
	mt, mz, slope := 0.0, 0.0, 0.0
	for range 2 {
		sum, st, sz, stt, stz := 0.0, 0.0, 0.0, 0.0, 0.0
		for i := range n {
			w, x, y := weight[i], t[i].t-t[0].t, z[i]-c.visits[i].taken
			sum, st, sz, stt, stz = sum+w, st+w*x, sz+w*y, stt+w*x*x, stz+w*x*y
		}
		mt, mz = st/sum, sz/sum
		slope = (stz - st*mz) / (stt - st*mt + 1e-6)
		for i := range n {
			e := z[i] - c.visits[i].taken - mz - slope*(t[i].t-t[0].t-mt)
			weight[i] = min(1, 2*sd/(math.Abs(e)+1e-9))
		}
	}
	for i := range n {
		e := z[i] - mz - slope*(t[i].t-t[0].t-mt)
		c.visits[i].off = append(c.visits[i].off, e*math.Sqrt(float64(n)/float64(n-2)))
	}
}

// settle works out what each visit shares, shrunk by how much such medians differ from chance alone.
func settle(visits map[int64]*visit) {
	between, within, n := 0.0, 0.0, 0.0
	type part struct{ centre, error float64 }
	parts := map[*visit]part{}
	for _, v := range visits {
		if len(v.off) >= leastVisit {
			centre, _ := robust.Median(v.off)
			for i := range v.off {
				v.off[i] = math.Abs(v.off[i] - centre)
			}
			mad, _ := robust.MedianInPlace(v.off)
			sd := madToSD * mad
			e := math.Pi / 2 * sd * sd / float64(len(v.off)) // variance of a median: pi/2 that of a mean
			parts[v] = part{centre, e}
			between, within, n = between+min(centre*centre, 0.05), within+e, n+1
		}
		v.off = v.off[:0]
	}
	if n == 0 {
		return
	}
	spread := max(0, (between-within)/n)
	for v, p := range parts {
		v.taken = p.centre * spread / (spread + p.error + 1e-12)
	}
}
