// Moving about on the page of a run: to its panels and back, and from place to place.
"use strict";
const BenchMove = (() => {
	const {$, show, make} = BenchDraw, {state, runID} = BenchTyped;

	function close() {
		for (const [panel, button] of BenchShow.PANELS) { show(panel, false); $(button).setAttribute("aria-expanded", "false"); }
		VisitScan.stop();
	}

	function toggle(panel, button) {
		const open = $(panel).hidden;
		close();
		show(panel, open);
		$(button).setAttribute("aria-expanded", String(open));
		state.ending = false;
		BenchShow.trouble("");
		BenchShow.draw();
		scrollTo({top: 0, behavior: "instant"});
	}

	function go(id) {
		state.found = new Map(); // the device in the hand stays, with its serial and its samples
		Object.assign(state, {at: id, newPlace: false, asked: false});
		close();
		BenchShow.draw();
	}

	function jumpTo(text) {
		const plain = text.trim().toLowerCase(), id = text.match(/[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}/g)?.find(x => state.run.place(x)), places = state.run.places;
		const found = id ? [state.run.place(id)] : /^\d+$/.test(plain) ? places.filter(p => p.number === Number(plain)) : places.filter(p => [BenchRun.nameOf(p), p.location, p.area, p.unit].some(x => x?.toLowerCase().includes(plain)));
		if (found.length === 1) return go(found[0].point_id);
		$("found").replaceChildren(...(found.length ? found.slice(0, 20).map(p => make("button", `${BenchRun.nameOf(p)} ${p.location || p.area}`, {type: "button", onclick: () => go(p.point_id)})) : [make("p", `No place of this run is called ${text}.`)]));
	}

	function newPlace() {
		Object.assign(state, {newPlace: true, at: null});
		close();
		BenchShow.draw();
	}

	// fromBack has places taken from the last on, so that two people meet in the middle.
	function fromBack() {
		state.fromBack = !state.fromBack;
		state.at = null;
		tellFromBack();
		VisitStore.put("facts", state.fromBack, `bench:${runID}:back`).catch(() => {}); // a convenience
		close();
		BenchShow.draw();
	}

	const tellFromBack = () => document.querySelector("[data-do=back]").setAttribute("aria-pressed", String(state.fromBack));
	return {close, toggle, go, jumpTo, newPlace, fromBack, tellFromBack};
})();
