package judge

import (
	"math"

	"sootline/internal/robust"
)

// A detector that was cleaned or replaced hangs in the same air as before: how
// fast it drifted then is the best guide to how fast it will drift now.

// learnAgain finds how far the slopes of one detector differ from run to run,
// all detectors of a type together.
func (e *Experience) learnAgain(k *kin) {
	excess, scale, detectors := 0.0, 0.0, 0
	for _, i := range k.members {
		h := &e.histories[i]
		sd := e.noise(h)
		var own moments
		for _, run := range h.earlier {
			own.add(run.slope, sd*sd/run.sxx)
		}
		if h.now.telling() {
			own.add(h.now.slope, sd*sd/h.now.sxx)
		}
		if own.n > 1 {
			excess, scale, detectors = excess+own.excess(), scale+own.scale(), detectors+1
		}
	}
	if detectors >= leastKin {
		k.again = max(0, excess/scale)
	}
}

// prior is what is known of the slope of a history beside its own visits now:
// from others, and from its own earlier runs.
func (e *Experience) prior(h *history) (prior robust.SlopePrior, kin Kin, earlier int) {
	prior, kin = e.kinPrior(h)
	again := e.kins[h.kin].again
	if again == unknown || len(h.earlier) == 0 {
		return prior, kin, 0
	}
	weight, sum := 0.0, 0.0
	if prior.SD > 0 {
		weight = 1 / (prior.SD * prior.SD)
		sum = weight * prior.Slope
	}
	sd := e.noise(h)
	for _, run := range h.earlier {
		w := 1 / (sd*sd/run.sxx + again)
		weight, sum = weight+w, sum+w*run.slope
	}
	return robust.SlopePrior{Slope: sum / weight, SD: math.Sqrt(1/weight + again)}, kin, len(h.earlier)
}
