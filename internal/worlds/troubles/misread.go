package troubles

import (
	"fmt"
	"math/bits"
	"strings"
)

// misreadings are the ways in which a setting is read wrongly that give another number each time: switches counted from
// the wrong end, ON taken for OFF, both; tens and units changed round.
func misreadings(setter string) []func(int) (int, bool) {
	var size uint8
	if _, err := fmt.Sscanf(setter, "switches %d", &size); err == nil {
		all := uint8(1<<size - 1)
		turned := func(n int) int { return int(bits.Reverse8(uint8(n)) >> (8 - size)) }
		return []func(int) (int, bool){
			func(n int) (int, bool) { return turned(n), true },
			func(n int) (int, bool) { return int(all) - n, true },
			func(n int) (int, bool) { return int(all) - turned(n), true },
		}
	}
	if strings.HasPrefix(setter, "dials") {
		return []func(int) (int, bool){func(n int) (int, bool) { return n%10*10 + n/10, n < 100 }}
	}
	return nil
}

// misread draws a misreading of all devices of a type.
func (p *planter) misread() (effect, bool) {
	t := p.loop.Types[p.rng.IntN(len(p.loop.Types))]
	how := misreadings(t.Setter)
	if len(how) == 0 {
		return effect{}, false
	}
	return p.misreadBy(t.Name, how[p.rng.IntN(len(how))])
}

func (p *planter) misreadBy(typ string, read func(int) (int, bool)) (effect, bool) {
	to := map[int]int{}
	for i, d := range p.loop.Devices {
		if d.Type != typ || d.Wanted == 0 {
			continue
		}
		n, ok := read(d.Wanted)
		if !ok || d.Width > 1 {
			return effect{}, false
		}
		to[i] = n
	}
	return moved(MisreadAll, to), len(to) > 3
}
