package drafts

import (
	"math"
	"math/rand/v2"
	"slices"
)

// Reference searches long for short cable: simulated annealing over one tour of all devices, cut into loops by passes at
// the panel, by turning stretches round and moving single devices; then turning and moving until nothing helps. It uses
// as few loops as the panel's most allows. Of several searches the best is given. Three of 3,000,000 moves take about 2 s a
// building and end up to 5 % below one of 400,000.
func Reference(b Building, moves int, searches uint64) (Design, float64) {
	s := newSearch(b)
	s.begin()
	s.descend() // so that no search ends above what the simplest one finds
	best, length := slices.Clone(s.tour), s.length()
	for seed := range searches {
		s.rng = rand.New(rand.NewPCG(seed, 31))
		s.begin()
		s.anneal(moves)
		s.descend()
		if l := s.length(); l < length-1e-9 {
			best, length = slices.Clone(s.tour), l
		}
	}
	d := s.design(best)
	return d, Metres(b, d)
}

// search holds a tour that begins and ends at the panel. Numbers from devices upwards are passes at the panel.
type search struct {
	rng     *rand.Rand
	devices int
	most    int
	tour    []int
	metres  [][]float64
}

func newSearch(b Building) *search {
	places := b.Places()
	n := len(places)
	passes := max(1, (n+b.Most-1)/b.Most)
	for range passes {
		places = append(places, b.Panel)
	}
	s := &search{devices: n, most: b.Most}
	for _, p := range places {
		row := make([]float64, len(places))
		for k, q := range places {
			row[k] = b.Metres(p, q)
		}
		s.metres = append(s.metres, row)
	}
	return s
}

// begin goes to the nearest device each time, and to the panel where a loop is full. The last pass closes the tour and
// stands first.
func (s *search) begin() {
	all := len(s.metres)
	s.tour = []int{all - 1}
	left := make([]bool, s.devices)
	share := (s.devices + all - s.devices - 1) / (all - s.devices)
	pass := s.devices
	for k := range s.devices {
		if k > 0 && k%share == 0 {
			s.tour = append(s.tour, pass)
			pass++
		}
		last, next := s.tour[len(s.tour)-1], -1
		for i, gone := range left {
			if !gone && (next < 0 || s.metres[last][i] < s.metres[last][next]) {
				next = i
			}
		}
		left[next] = true
		s.tour = append(s.tour, next)
	}
	for ; pass < all-1; pass++ {
		s.tour = append(s.tour, pass)
	}
}

func (s *search) at(k int) int { return s.tour[(k+len(s.tour))%len(s.tour)] }

func (s *search) length() float64 {
	sum := 0.0
	for k := range s.tour {
		sum += s.metres[s.tour[k]][s.at(k+1)]
	}
	return sum
}

// fits says whether no loop has too many.
func (s *search) fits() bool {
	n := 0
	for _, k := range s.tour {
		if n++; k >= s.devices {
			n = 0
		}
		if n > s.most {
			return false
		}
	}
	return true
}

// turn gives what turning the stretch from i to k round changes.
func (s *search) turn(i, k int) float64 {
	a, b, c, d := s.at(i-1), s.at(i), s.at(k), s.at(k+1)
	return s.metres[a][c] + s.metres[b][d] - s.metres[a][b] - s.metres[c][d]
}

// shift gives what moving the one at i to between k and the next changes; k is neither i nor the one before it.
func (s *search) shift(i, k int) float64 {
	a, x, b, c, d := s.at(i-1), s.at(i), s.at(i+1), s.at(k), s.at(k+1)
	return s.metres[a][b] - s.metres[a][x] - s.metres[x][b] + s.metres[c][x] + s.metres[x][d] - s.metres[c][d]
}

func (s *search) doShift(i, k int) {
	x := s.tour[i]
	s.tour = slices.Delete(s.tour, i, i+1)
	if k > i {
		k--
	}
	s.tour = slices.Insert(s.tour, k+1, x)
}

// try makes a move that is accepted, unless a loop then has too many.
func (s *search) try(i, k int, shift bool, accept func(float64) bool) bool {
	n := len(s.tour)
	switch {
	case shift && (k == i || k == i-1 || i == 0 || k == 0 && i == n):
		return false
	case !shift && (i >= k || i == 0 || i == 1 && k == n-1):
		return false
	case shift && !accept(s.shift(i, k)), !shift && !accept(s.turn(i, k)):
		return false
	}
	was := slices.Clone(s.tour)
	if shift {
		s.doShift(i, k)
	} else {
		slices.Reverse(s.tour[i : k+1])
	}
	if !s.fits() {
		s.tour = was
		return false
	}
	return true
}

func (s *search) anneal(moves int) {
	n := len(s.tour)
	hot, cold := s.length()/float64(n), 0.02
	for m := range moves {
		heat := hot * math.Pow(cold/hot, float64(m)/float64(moves))
		s.try(1+s.rng.IntN(n-1), s.rng.IntN(n), s.rng.IntN(2) == 0, func(change float64) bool {
			return change <= 0 || s.rng.Float64() < math.Exp(-change/heat)
		})
	}
}

// descend makes every move that helps until none does.
func (s *search) descend() {
	helps := func(change float64) bool { return change < -1e-9 }
	for again := true; again; {
		again = false
		for i := 1; i < len(s.tour); i++ {
			for k := range s.tour {
				again = s.try(i, k, true, helps) || again
				again = s.try(i, k, false, helps) || again
			}
		}
	}
}

// design cuts a tour into loops.
func (s *search) design(tour []int) Design {
	d := Design{MM2: 1.5}
	var loop []int
	for _, k := range append(tour[1:], tour[0]) {
		if k < s.devices {
			loop = append(loop, k)
			continue
		}
		if len(loop) > 0 {
			d.Loops = append(d.Loops, loop)
		}
		loop = nil
	}
	return d
}
