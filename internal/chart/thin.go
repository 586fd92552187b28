package chart

// thin leaves of each of so many buckets along x the lowest and the highest
// place, in their order, so that no peak is lost. places are in order of x.
func thin(places []XY, buckets int) []XY {
	if len(places) <= 2*buckets {
		return places
	}
	first, last := places[0].X, places[len(places)-1].X
	bucket := func(p XY) int {
		return min(int(float64(buckets)*(p.X-first)/max(last-first, 1e-9)), buckets-1)
	}
	var kept []XY
	for i := 0; i < len(places); {
		low, high, b := i, i, bucket(places[i])
		for ; i < len(places) && bucket(places[i]) == b; i++ {
			if places[i].Y < places[low].Y {
				low = i
			}
			if places[i].Y > places[high].Y {
				high = i
			}
		}
		kept = append(kept, places[min(low, high)])
		if low != high {
			kept = append(kept, places[max(low, high)])
		}
	}
	return kept
}
