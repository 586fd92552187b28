// The keypad of the page of a run, and what was found of the device by a tap.
"use strict";
const BenchKeys = (() => {
	const {$} = BenchDraw, {state, hand} = BenchTyped;

	function press(k) {
		state.asked = false;
		if (k === "back") back();
		else if (k === "more") {
			if (state.typing !== "" && Number.isFinite(Number(state.typing))) { state.samples.push(state.typing); state.typing = ""; }
		} else {
			if (state.typing === "") state.times = [...state.times.slice(0, state.samples.length), BenchShow.now()];
			if (k === "-") state.typing = state.typing.startsWith("-") ? state.typing.slice(1) : "-" + state.typing;
			else if ((k !== "." || !state.typing.includes(".")) && state.typing.length < 9) state.typing += k;
		}
		BenchShow.drawLook();
	}

	function back() {
		if (state.typing !== "") state.typing = state.typing.slice(0, -1);
		else if (state.samples.length) state.typing = state.samples.pop();
		state.times.length = Math.min(state.times.length, state.samples.length + (state.typing === "" ? 0 : 1));
	}

	// tap turns what was found of one thing: so, otherwise, not looked at; or all so.
	function tap(value) {
		const h = hand();
		state.asked = false;
		if (value === "all") for (const name of ["number", ...h.modes.map(m => m.name)]) { if (!state.found.has(name)) state.found.set(name, {state: "so"}); }
		else {
			const name = value.slice(3), turn = {"": "so", so: "other", other: ""}[state.found.get(name)?.state ?? ""];
			if (turn) state.found.set(name, {state: turn, text: ""}); else state.found.delete(name);
		}
		BenchDraw.readback(h, state.found);
		BenchDraw.otherwise(state.run, h, state.found);
		$("otherwise").lastElementChild?.scrollIntoView({block: "nearest", behavior: "instant"});
		BenchShow.drawLook(h);
	}

	function say(name, text) {
		state.found.set(name, {state: "other", text});
		state.asked = false;
		BenchShow.drawLook();
	}
	return {press, tap, say};
})();
