// The few lines of judging that a phone does by itself. TestPhoneJudgesAlike holds
// them against internal/judge over many cases.
"use strict";
const VisitJudge = (() => {
	// median of the samples: the middle one, or the mean of the two in the middle.
	function median(samples) {
		const sorted = [...samples].sort((a, b) => a - b), half = sorted.length >> 1;
		return sorted.length % 2 ? sorted[half] : sorted[half - 1] / 2 + sorted[half] / 2;
	}
	// spread is the standard deviation, by n-1; null for a single sample.
	function spread(samples) {
		if (samples.length < 2) return null;
		const mean = samples.reduce((sum, x) => sum + x, 0) / samples.length;
		return Math.sqrt(samples.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (samples.length - 1));
	}
	// judge says where samples lie: both ends belong to the band. far: outside the
	// interval in which a look at this point lies in 99 of 100 cases.
	function judge(point, samples) {
		const value = median(samples), sd = spread(samples);
		const verdict = point.low === null && point.high === null ? "no band" :
			point.high !== null && value > point.high ? "above" : point.low !== null && value < point.low ? "below" : "inside";
		return {
			value, verdict, spread: sd,
			unsteady: sd !== null && point.spread !== null && sd > point.spread,
			far: point.value !== null && (value < point.from || value > point.to),
		};
	}
	return {median, spread, judge};
})();
