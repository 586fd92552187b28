package robust

import (
	"hash/maphash"
	"sync"
)

// Memory keeps lines by medians, which cost the square of their readings, by the
// series they were drawn through: whoever looks at many series again, of which few
// have changed, draws only those. A result is the same with and without. It may be
// used by several goroutines; the zero Memory is empty.
type Memory struct {
	mu          sync.Mutex
	now, before map[seriesKey]SenLine
}

// seriesKey is two hashes of a series, 128 bits: two series are not met that share
// both.
type seriesKey [2]uint64

var seriesSeeds = [2]maphash.Seed{maphash.MakeSeed(), maphash.MakeSeed()}

// worthKeeping is the shortest series that is drawn more slowly than it is found.
const worthKeeping = 24

// Turn forgets what was not asked for since the turn before.
func (m *Memory) Turn() {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.now, m.before = map[seriesKey]SenLine{}, m.now
}

func (m *Memory) find(key seriesKey) (SenLine, bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	line, ok := m.now[key]
	if !ok {
		if line, ok = m.before[key]; ok && m.now != nil {
			m.now[key] = line
		}
	}
	return line, ok
}

func (m *Memory) keep(key seriesKey, line SenLine) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.now == nil {
		m.now = map[seriesKey]SenLine{}
	}
	m.now[key] = line
}

func keyOf(t, y []float64) (key seriesKey) {
	for i, seed := range seriesSeeds {
		var h maphash.Hash
		h.SetSeed(seed)
		for _, series := range [2][]float64{t, y} {
			for _, x := range series {
				maphash.WriteComparable(&h, x)
			}
		}
		key[i] = h.Sum64()
	}
	return key
}

// Sen is [Scratch.Sen], from memory where the very series was drawn before.
func (m *Memory) Sen(s *Scratch, t, y []float64) (SenLine, error) {
	if m == nil || len(t) < worthKeeping {
		return s.Sen(t, y)
	}
	key := keyOf(t, y)
	if line, ok := m.find(key); ok {
		return line, nil
	}
	line, err := s.Sen(t, y)
	if err == nil {
		m.keep(key, line)
	}
	return line, err
}
