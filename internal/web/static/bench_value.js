// How a resting value is judged at the bench: the same rules, by the same figures, as
// internal/bench. TestBenchLooksAlike holds them to it over thousands of looks.
"use strict";
const BenchValue = (() => {
	// keyOf is the spelling by which types and settings are matched; serialKey that of serials.
	const keyOf = name => (name ?? "").trim().split(/\s+/).join(" ").toLowerCase();
	const serialKey = serial => (serial ?? "").toUpperCase().replace(/[ \-./_\t]/g, "");
	const same = (a, b) => keyOf(a) === keyOf(b);
	const sameChoice = (a, b) => a.trim().toLowerCase() === b.trim().toLowerCase();

	function median(samples) {
		const sorted = [...samples].sort((a, b) => a - b), half = sorted.length >> 1;
		return sorted.length % 2 ? sorted[half] : sorted[half - 1] / 2 + sorted[half] / 2;
	}

	// spreadOf is the standard deviation, by n-1, in two passes; null below two samples.
	function spreadOf(samples) {
		const n = samples.length, sum = numbers => numbers.reduce((s, x) => s + x, 0);
		if (n < 2) return null;
		const first = sum(samples) / n, mean = first + sum(samples.map(x => x - first)) / n;
		const rest = sum(samples.map(x => x - mean)), squares = sum(samples.map(x => (x - mean) * (x - mean)));
		return Math.sqrt(Math.max(0, squares - rest * rest / n) / (n - 1));
	}

	// bandOf is the band that names a setting the device has, else the one that names none.
	function bandOf(type, settings) {
		let general = null;
		for (const band of type.bands) {
			if (!band.setting) { general = band; continue; }
			const at = band.setting.indexOf("="), name = (at < 0 ? band.setting : band.setting.slice(0, at)).trim(), choice = at < 0 ? "" : band.setting.slice(at + 1).trim();
			if (settings.get(name)?.toLowerCase() === choice.toLowerCase()) return band;
		}
		return general;
	}

	// settingsFor are the settings found, over those wanted.
	function settingsFor(found, wanted) {
		const settings = new Map(wanted.map(m => [m.name, m.choice]));
		for (const [name, choice] of Object.entries(found ?? {})) {
			for (const m of wanted) if (same(m.name, name)) settings.delete(m.name);
			settings.set(name, choice);
		}
		return settings;
	}

	// settles: the samples move one way, by the sign of all pairs and by more than half
	// the usual noise between the halves.
	function settles(samples, noise, rules) {
		const n = samples.length;
		if (n < rules.least_trend) return false;
		let s = 0;
		for (let i = 0; i < n; i++) for (let k = i + 1; k < n; k++) s += Math.sign(samples[k] - samples[i]);
		const half = n >> 1, sd = Math.sqrt(n * (n - 1) * (2 * n + 5) / 18);
		return Math.abs(s) > 1 + rules.trend_z * sd && Math.abs(median(samples.slice(n - half)) - median(samples.slice(0, half))) > noise / 2;
	}

	const nearest = v => Math.min(...[v.low, v.high].filter(x => x !== null).map(x => Math.abs(v.value - x)), Infinity);

	// stand puts the value beside the band; both ends belong to it.
	function stand(v, type, band, rules) {
		v.state = "no band";
		if (!band || band.low === null && band.high === null) return;
		v.low = band.low;
		v.high = band.high;
		v.state = v.high !== null && v.value > v.high ? "above" : v.low !== null && v.value < v.low ? "below" : nearest(v) < rules.near_noises * type.noise ? "margin" : "inside";
		if (v.low !== null && v.high !== null) v.margin = Math.min(v.value - v.low, v.high - v.value) / (v.high - v.low);
	}

	// judge judges samples as they come; seconds are those from the first to the last.
	function judge(type, settings, samples, seconds, rules) {
		const v = {state: "no value", value: 0, spread: null, low: null, high: null, margin: null, settling: false, unsteady: false, wait_seconds: 0};
		if (!samples?.length) return v;
		v.value = median(samples);
		if (seconds > 0) v.wait_seconds = Math.max(0, rules.look_seconds - seconds);
		v.spread = spreadOf(samples);
		stand(v, type, bandOf(type, settings), rules);
		v.settling = settles(samples, type.noise, rules);
		v.unsteady = !v.settling && samples.length >= rules.least_spreads && v.spread !== null && v.spread > type.spread;
		return v;
	}

	// unlike: further from the middle of the others than their spread explains in 99 of 100 cases.
	function unlike(value, others, noise, rules) {
		if (others.length < rules.least_peers || !(noise > 0)) return false;
		const centre = median(others), unit = 1.4826 * median(others.map(x => Math.abs(x - centre)));
		return Math.abs((value - centre) / Math.max(unit, noise)) > rules.unlike_far + rules.unlike_few / others.length;
	}

	// restsDirty: more than half way from a clean unit's value to the limit that dirt
	// drives it to, and by more than noise.
	function restsDirty(v, rest, type, rules) {
		const limit = type.worse < 0 ? v.low : v.high, sign = type.worse;
		if (!sign || limit === null || sign * (limit - rest) <= 0) return false;
		const gone = sign * (v.value - rest);
		return gone > rules.dirty_half * sign * (limit - rest) && gone > rules.near_noises * type.noise;
	}

	// amount writes a value with its unit, in hundredths.
	function amount(type, x) {
		const cents = Math.sign(x) * Math.round(Math.abs(x) * 100) / 100;
		return (Object.is(cents, -0) || x < 0 && cents === 0 ? "-0" : String(cents)) + (type.unit ? " " + type.unit : "");
	}
	return {keyOf, serialKey, same, sameChoice, median, settingsFor, judge, nearest, unlike, restsDirty, amount};
})();
