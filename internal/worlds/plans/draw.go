package plans

import (
	"fmt"
	"math/rand/v2"
)

// Small draws a case for the exact solver: up to seven devices, and up to five where spares are asked.
func Small(seed uint64) Case {
	rng := rand.New(rand.NewPCG(seed, 13))
	c := Case{First: 1, Last: 6 + rng.IntN(4), Separate: rng.IntN(5) == 0, Keep: rng.IntN(2) == 0}
	n := 2 + rng.IntN(6)
	if !c.Keep && rng.IntN(3) == 0 {
		c.Spares, c.Spread = 1+rng.IntN(2), rng.IntN(2) == 0
		n = min(n, 5)
	}
	for range rng.IntN(3) {
		c.Reserved = append(c.Reserved, 1+rng.IntN(c.Last))
	}
	for i := range n {
		d := Device{Width: 1, Module: rng.IntN(4) == 0, Block: fmt.Sprintf("Z%d", 1+i*2/n)}
		if rng.IntN(4) > 0 {
			d.Now = 1 + rng.IntN(c.Last+1) // on another's, or outside the span, now and then
		}
		if rng.IntN(6) == 0 {
			d.Width = 2
		}
		switch rng.IntN(6) {
		case 0:
			d.Most = 1 + rng.IntN(c.Last)
		case 1:
			d.Least = 1 + rng.IntN(c.Last)
		}
		if rng.IntN(6) == 0 {
			d.Block = fmt.Sprintf("Z%d", 1+rng.IntN(2)) // zones come back along the cable
		}
		c.Devices = append(c.Devices, d)
	}
	for i := range c.Devices {
		if rng.IntN(6) == 0 {
			c.pin(i)
		}
	}
	return c
}

// pin has a device keep its number, where it can have it beside the others that keep theirs.
func (c *Case) pin(i int) bool {
	d := &c.Devices[i]
	if d.Pinned || d.Now == 0 || c.may(i, d.Now) != nil || c.onPinned(i, d.Now) {
		return false
	}
	d.Pinned = true
	return true
}

// Large draws a case of 250 devices under 40 constraints besides its blocks: 12 reserved numbers, 10 pinned devices, 8 wide
// ones, 6 that cannot be set to most numbers, 4 that stand where they cannot stay. Half stand near the order of the cable.
func Large(seed uint64) Case {
	rng := rand.New(rand.NewPCG(seed, 250))
	c := Case{First: 1, Last: 330, Separate: rng.IntN(3) == 0, Keep: seed%2 == 0}
	if rng.IntN(2) == 0 {
		c.Spares, c.Spread = 1+rng.IntN(2), rng.IntN(2) == 0
	}
	for _, n := range rng.Perm(c.Last)[:12] {
		c.Reserved = append(c.Reserved, n+1)
	}
	block := 1
	for range 250 {
		if rng.IntN(18) == 0 {
			block++
		}
		c.Devices = append(c.Devices, Device{Width: 1, Module: rng.IntN(5) == 0, Block: fmt.Sprintf("Z%d", block)})
	}
	odd := rng.Perm(250)
	for _, i := range odd[:8] {
		c.Devices[i].Width = 2 + rng.IntN(3)
	}
	for k, i := range odd[8:14] {
		if k%2 == 0 {
			c.Devices[i].Most = 40 + rng.IntN(60)
		} else {
			c.Devices[i].Least = 200 + rng.IntN(60)
		}
	}
	c.stand(rng)
	for pinned, k := 0, 14; pinned < 10 && k < len(odd); k++ {
		if c.pin(odd[k]) {
			pinned++
		}
	}
	for done, k := 0, len(odd)-1; done < 4; k-- {
		if d := &c.Devices[odd[k]]; !d.Pinned && d.Width == 1 {
			d.Now = []int{c.Last + 1, c.Reserved[0], c.Devices[odd[0]].Now, c.Devices[odd[1]].Now}[done]
			done++
		}
	}
	return c
}

// stand gives devices the numbers that they have now: along the cable with gaps, or anyhow.
func (c *Case) stand(rng *rand.Rand) {
	next := map[bool]int{false: 1, true: 1}
	mixed := rng.IntN(2) == 0
	for i := range c.Devices {
		r := c.ranged(i)
		n, ok := c.next(i, next[r])
		if !ok {
			continue
		}
		c.Devices[i].Now = n
		if d := c.Devices[i]; d.Least == 0 {
			next[r] = n + d.Width
		}
	}
	for i := range c.Devices {
		switch k := rng.IntN(len(c.Devices)); {
		case rng.IntN(20) == 0:
			c.Devices[i].Now = 0
		case mixed && rng.IntN(3) == 0 && c.ranged(i) == c.ranged(k) && c.Devices[i].Width == c.Devices[k].Width:
			c.Devices[i].Now, c.Devices[k].Now = c.Devices[k].Now, c.Devices[i].Now
		}
	}
}
