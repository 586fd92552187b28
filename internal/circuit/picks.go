package circuit

// picks keeps the few largest of the gains offered to it.
type picks struct {
	most int
	kept []pick // largest first
}

type pick struct {
	point int
	gain  float64
}

func newPicks(most int) *picks { return &picks{most: most, kept: make([]pick, 0, most+1)} }

func (s *picks) reset() { s.kept = s.kept[:0] }

// offer keeps a gain if it is among the largest; of equal ones the first stays.
func (s *picks) offer(point int, gain float64) {
	n := len(s.kept)
	if n == s.most {
		if n == 0 || gain <= s.kept[n-1].gain {
			return
		}
		n--
	}
	s.kept = append(s.kept[:n], pick{point, gain})
	for ; n > 0 && s.kept[n-1].gain < gain; n-- {
		s.kept[n], s.kept[n-1] = s.kept[n-1], s.kept[n]
	}
}

func (s *picks) sum() float64 {
	total := 0.0
	for _, one := range s.kept {
		total += one.gain
	}
	return total
}

func (s *picks) points(into []int) []int {
	for _, one := range s.kept {
		into = append(into, one.point)
	}
	return into
}
