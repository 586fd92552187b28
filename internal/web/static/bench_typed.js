// What is in hand on the page of a run, and what was typed of it.
"use strict";
const BenchTyped = (() => {
	const {$, show} = BenchDraw;
	const UNREAD = "number-unread", MOST = 9999; // the highest number that a log book can hold
	const [, , siteID, , runID] = location.pathname.split("/");
	const state = {pack: null, entries: [], run: null, at: null, found: new Map(), samples: [], typing: "", times: [], asked: false, fromBack: false, newPlace: false, writing: false, ending: false};

	// hand is what was taken in hand, else what comes next.
	function hand() {
		const run = state.run, typed = {serial: $("serial").value.trim(), type: $("typed").value};
		if (state.newPlace) return run.handNew(typed);
		if (state.at && run.place(state.at)) return run.handAt(run.place(state.at));
		if (typed.serial && (run.first === "device" || !run.places.length)) return run.handOf(typed);
		return run.hand(state.fromBack);
	}

	const samplesTyped = () => [...state.samples, ...(state.typing === "" ? [] : [state.typing])];

	// given is what was typed of the device in hand, as far as it can be read; faults say
	// of the rest why it cannot.
	function given(h) {
		const number = state.found.get("number"), modes = new Map();
		for (const m of h.modes) {
			const f = state.found.get(m.name);
			if (f?.state === "so") modes.set(m.name, m.choice);
			if (f?.state === "other" && f.text?.trim()) modes.set(m.name, f.text.trim());
		}
		const read = number?.state === "so" ? h.number : number?.state === "other" ? numberOf(number.text) : 0;
		const seconds = state.times.length > 1 ? Math.max(0, state.times.at(-1) - state.times[0]) / 1000 : 0;
		return {
			point: h.place?.point_id ?? "", serial: $("serial").value.trim(), type: $("typed").value, number: h.place ? 0 : h.number, read, modes: Object.fromEntries(modes),
			samples: samplesTyped().map(Number).filter(Number.isFinite), seconds, location: h.place ? "" : $("location").value.trim(), area: h.place ? "" : $("area").value.trim(),
		};
	}

	// numberOf reads a number that a device can carry; 0: it is none.
	const numberOf = text => /^\d+$/.test(text.trim()) && Number(text) <= MOST ? Number(text) : 0;

	// faults are what was typed and cannot be read: nothing of it is passed over.
	function faults(h) {
		const number = state.found.get("number"), all = samplesTyped().filter(x => !Number.isFinite(Number(x))).map(x => `“${x}” is no value`);
		if (number?.state === "other" && number.text.trim() === "") all.push("say which number was read back");
		else if (number?.state === "other" && !numberOf(number.text)) all.push(`“${number.text.trim()}” is no number that a device can carry`);
		for (const m of h.modes) if (state.found.get(m.name)?.state === "other" && !state.found.get(m.name).text?.trim()) all.push(`say how ${m.name} was found`);
		return all;
	}

	// remarks are what is said of the device in hand, the gravest first. Whether somebody
	// read the number back is asked here, where it is one tap.
	function remarks(h, g, looked) {
		if (!h.number || g.read) return looked.remarks;
		const told = looked.remarks.findIndex(r => r.grave === "told"), at = told < 0 ? looked.remarks.length : told;
		return looked.remarks.toSpliced(at, 0, {code: UNREAD, grave: "asked", text: `nobody read number ${h.number} back: it is written down as set, not as read`});
	}

	// typeOf is the type of the device in hand: as typed, as the list of the box says, or as
	// its place wants.
	const typeOf = (h, g) => state.run.typed(g.type || state.run.known(g).type || h.type);

	const touched = () => $("serial").value.trim() !== "" || samplesTyped().length > 0 || state.found.size > 0;

	function clear() {
		Object.assign(state, {at: null, found: new Map(), samples: [], typing: "", times: [], asked: false, newPlace: false});
		for (const id of ["serial", "typed", "location", "area", "why"]) $(id).value = "";
		show("typebox", false);
	}
	return {state, siteID, runID, UNREAD, hand, given, faults, remarks, typeOf, touched, clear, samplesTyped};
})();
