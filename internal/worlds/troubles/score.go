package troubles

import "slices"

// Score holds an explanation against the truth, or against one that cannot be told from it.
//
// Alone: first, the first cause said is the planted one; second, one of the first two is. In pairs: first, the first cause
// said is one of the two; second, the first two are both, in any order.
//
// A cause is the planted one where its kind is, and it names all of the planted one's devices and none besides, but for
// those that may be named too. In the order of the devices nothing lies. Of not-on-register the number counts alone.
// Two planted causes of one kind that is said of single devices (silent, unset, misset, other-type) may be said as one.
func Score(t Trouble, ranked []Cause) (first, second bool) {
	for _, truth := range append([][]Cause{t.Truth}, t.Equal...) {
		f, s := against(truth, ranked)
		first, second = first || f, second || s
	}
	return first, second
}

func against(truth, ranked []Cause) (first, second bool) {
	if len(truth) == 0 || len(ranked) == 0 {
		return len(truth) == 0 && len(ranked) == 0, len(truth) == 0 && len(ranked) == 0
	}
	is := func(said Cause) func(Cause) bool { return func(c Cause) bool { return same(c, said) } }
	both, merged := merge(truth)
	if merged && same(both, ranked[0]) {
		return true, true
	}
	first = slices.ContainsFunc(truth, is(ranked[0]))
	top := ranked[:min(2, len(ranked))]
	second = true
	for _, c := range truth {
		second = second && slices.ContainsFunc(top, func(said Cause) bool { return same(c, said) })
	}
	return first, second
}

// merge makes one cause of two of a kind that is said of single devices.
func merge(of []Cause) (Cause, bool) {
	if len(of) != 2 || of[0].Kind != of[1].Kind || !slices.Contains([]string{Silent, Unset, Misset, OtherType}, of[0].Kind) {
		return Cause{}, false
	}
	return Cause{Kind: of[0].Kind, Devices: slices.Concat(of[0].Devices, of[1].Devices)}, true
}

// same says whether a cause as said is a planted one.
func same(planted, said Cause) bool {
	if planted.Kind != said.Kind {
		return false
	}
	if planted.Kind == NotOnRegister {
		return planted.Number == said.Number && planted.Module == said.Module
	}
	for _, i := range planted.Devices {
		if !slices.Contains(said.Devices, i) {
			return false
		}
	}
	return !slices.ContainsFunc(said.Devices, func(i int) bool {
		return !slices.Contains(planted.Devices, i) && !slices.Contains(planted.Also, i)
	})
}
