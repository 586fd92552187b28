// What is left of a run at the bench, and how fast it goes; as internal/bench tells it.
"use strict";
const BenchLeft = (() => {
	const {serialKey, same, sameChoice, amount, settingsFor, judge} = BenchValue;
	const {device, because} = BenchLook;
	const PAUSE = 15 * 60, AWAY = 30 * 60; // seconds, as in internal/bench

	// left lists what is left: places in their order, then devices.
	const left = run => [...run.places.flatMap(p => ofPlace(run, p)), ...ofBox(run)];

	function ofPlace(run, p) {
		const all = [], name = BenchRun.nameOf(p), add = (kind, text, serial = "") => all.push({kind, point_id: p.point_id, serial, text});
		if (!p.done.length) {
			if (p.skipped) add("skipped", `${name} was skipped` + because(p.skipped.reason));
			else add("open", `${name} has no device yet`);
			return all;
		}
		if (p.done.length > 1) add("twice", `${name} was done ${p.done.length} times: ${p.done.map(d => `${device(d.serial)} by ${d.by}`).join(", ")}; take one of them back`);
		p.done.forEach((d, i) => {
			const key = serialKey(d.serial);
			if (key && p.done.slice(0, i).some(x => serialKey(x.serial) === key)) add("serial", `device ${d.serial} was set for ${name} more than once`, d.serial);
		});
		for (const d of p.done) ofNumber(run, p, d, name, add);
		ofDevice(run, p, name, add);
		ofValue(run, p, name, add);
		return all;
	}

	function ofNumber(run, p, d, name, add) {
		if (!d.carries) return add("other", `nobody says which number was set at ${name}`, d.serial);
		if (p.wanted && d.carries !== p.wanted) add("other", `${name} carries ${d.carries}, and ${p.wanted} is wanted`, d.serial);
		const t = run.typed(p.type), range = run.rangeOf(p.loop, t);
		for (const c of run.numbers)
			if (c.point_id !== p.point_id && c.carries && c.carries < d.carries + t.width && d.carries < c.carries + Math.max(c.width, 1) && run.rangeOf(c.loop, c) === range)
				add("number", `${name} carries number ${d.carries}, and so does ${c.name}`);
	}

	function ofDevice(run, p, name, add) {
		for (const d of p.done)
			for (const h of run.seen.get(serialKey(d.serial)) ?? []) {
				if (h.rejected) add("serial", `device ${d.serial} was set for ${name}, and was rejected` + because(h.rejected.reason), d.serial);
				else if (h.point !== p.point_id) add("serial", `device ${d.serial} is written down at ${name} and at ${h.ref}`, d.serial);
			}
		for (const m of p.modes) {
			const has = Object.entries(p.has).find(([n]) => same(n, m.name));
			if (has && !sameChoice(has[1], m.choice)) add("mode", `${name}: ${m.name} is ${has[1]}, and ${m.choice} is wanted`);
		}
	}

	function ofValue(run, p, name, add) {
		const t = run.typed(p.type), samples = p.done.at(-1).samples ?? [];
		if (!samples.length) { if (t.judged) add("unread", `${name} has no look at its resting value`); return; }
		const v = judge(t, settingsFor(p.has, p.modes), samples, 0, run.rules);
		if (v.state === "above" || v.state === "below") add("outside", `${name} rests at ${amount(t, v.value)}, ${v.state} its band`);
	}

	function ofBox(run) {
		const all = run.rejected.map(r => ({kind: "rejected", point_id: r.point_id, serial: r.serial, text: `${device(r.serial)} was rejected` + because(r.reason)})), told = new Set();
		for (const d of run.box) {
			const key = serialKey(d.serial), copies = run.box.filter(x => serialKey(x.serial) === key);
			if (d.twice && !told.has(key)) all.push({kind: "listed", point_id: "", serial: d.serial, text: `serial ${d.serial} stands on the list of the box ${copies.length} times`});
			told.add(key);
			if (!d.place && !d.rejected && !(d.twice && copies.some(x => x.place)))
				all.push({kind: "unused", point_id: "", serial: d.serial, text: `${d.serial ? "device " + d.serial : d.type ? "a device of type " + d.type : "a device"} of the box ${run.closed ? "was not set in this run" : "is not set yet"}`});
		}
		return all;
	}

	// progress says how far the run has come at an instant; seconds are 0 where not known.
	function progress(run, now) {
		const done = run.places.filter(p => p.done.length).length, skipped = run.places.filter(p => !p.done.length && p.skipped).length, by = new Map();
		for (const r of run.records) if (r.outcome === "done") by.set(r.by, [...by.get(r.by) ?? [], r.at]);
		let rate = 0;
		for (const at of by.values()) {
			const gaps = at.slice(1).map((t, i) => (t - at[i]) / 1000).filter(gap => gap > 0 && gap < PAUSE);
			if (gaps.length && ((run.closed || now) - at.at(-1)) / 1000 <= AWAY) rate += 1 / BenchValue.median(gaps);
		}
		const open = run.places.length - done;
		return {places: run.places.length, done, skipped, left: open, rejected: run.rejected.length, pace_seconds: rate ? 1 / rate : 0, left_seconds: rate ? open / rate : 0};
	}
	return {left, progress};
})();
