package robust

import (
	"math"
	"math/bits"
	"slices"
)

// atRank returns the value at the one-based, possibly fractional rank h of x, 1 <= h <= len(x),
// interpolating linearly between neighbours. It reorders x so that the floor(h) smallest values come
// first, the greatest of them last.
func atRank(x []float64, h float64) float64 {
	k := int(h)
	low := selectIndex(x, k-1)
	share := h - float64(k)
	if share == 0 || k == len(x) {
		return low
	}
	return between(low, slices.Min(x[k:]), share)
}

// between interpolates from a to b >= a, 0 <= share < 1. One half gives the mean to the last digit.
func between(a, b, share float64) float64 {
	if share == 0.5 {
		return a/2 + b/2
	}
	return a + share*(b-a)
}

// selectIndex puts the value that sorting would leave at index k there, with nothing greater before it
// and nothing smaller behind it, and returns it. Quickselect with the median of three; a run of bad
// pivots ends in a sort, so the cost is O(n log n) at worst and O(n) as a rule.
func selectIndex(x []float64, k int) float64 {
	lo, hi := 0, len(x)-1
	for rounds := 2 * bits.Len(uint(len(x))); hi-lo > 15; rounds-- {
		if rounds == 0 {
			slices.Sort(x[lo : hi+1])
			return x[k]
		}
		i, j := partition(x, lo, hi)
		switch {
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default:
			return x[k]
		}
	}
	insertionSort(x[lo : hi+1])
	return x[k]
}

// partition splits x[lo:hi+1] around the median of its ends and middle (Hoare). On return values up to
// index j are at most the pivot, from index i at least the pivot, and those between equal it.
func partition(x []float64, lo, hi int) (i, j int) {
	a, b, c := x[lo], x[lo+(hi-lo)/2], x[hi]
	pivot := max(min(a, b), min(max(a, b), c))
	i, j = lo, hi
	for i <= j {
		for x[i] < pivot {
			i++
		}
		for x[j] > pivot {
			j--
		}
		if i <= j {
			x[i], x[j] = x[j], x[i]
			i++
			j--
		}
	}
	return i, j
}

// insertionSort sorts x and returns the number of inversions it had: pairs out of order, ties not
// counted.
func insertionSort(x []float64) int64 {
	shifts := 0
	for i := 1; i < len(x); i++ {
		v, j := x[i], i
		for ; j > 0 && x[j-1] > v; j-- {
			x[j] = x[j-1]
		}
		x[j] = v
		shifts += i - j
	}
	return int64(shifts)
}

// sortCount sorts x with tmp (of equal length) as working space and returns the number of inversions x
// had. O(n log n): merge sort over short runs sorted by insertion.
func sortCount(x, tmp []float64) int64 {
	const run = 16
	n := len(x)
	var count int64
	for lo := 0; lo < n; lo += run {
		count += insertionSort(x[lo:min(lo+run, n)])
	}
	from, to := x, tmp
	for width := run; width < n; width *= 2 {
		for lo := 0; lo < n; lo += 2 * width {
			mid, hi := min(lo+width, n), min(lo+2*width, n)
			count += mergeCount(to[lo:hi], from[lo:mid], from[mid:hi])
		}
		from, to = to, from
	}
	if n > 0 && &from[0] != &x[0] {
		copy(x, from)
	}
	return count
}

// mergeCount merges the sorted a and b into dst, a first among equals, and returns the number of pairs
// with the element of a greater than that of b.
func mergeCount(dst, a, b []float64) int64 {
	var count int64
	i, j := 0, 0
	for k := range dst {
		if j == len(b) || (i < len(a) && a[i] <= b[j]) {
			dst[k] = a[i]
			i++
			continue
		}
		dst[k] = b[j]
		j++
		count += int64(len(a) - i)
	}
	return count
}

// ordinal numbers the float64 values in ascending order, so that halving an interval of ordinals
// reaches neighbouring values in at most 64 steps whatever their size. fromOrdinal undoes it.
func ordinal(v float64) int64 {
	b := int64(math.Float64bits(v))
	if b < 0 {
		return math.MinInt64 - b
	}
	return b
}

func fromOrdinal(o int64) float64 {
	if o < 0 {
		o = math.MinInt64 - o
	}
	return math.Float64frombits(uint64(o))
}

// midway returns a value between a and b, halving the count of float64 values between them.
func midway(a, b float64) float64 {
	oa, ob := ordinal(a), ordinal(b)
	return fromOrdinal(oa>>1 + ob>>1 + oa&ob&1)
}
