// What contradicts itself in a run: what two people did that cannot both be, each thing
// said once, with what takes it back.
"use strict";
const BenchClash = (() => {
	const {$, show, make, sentence} = BenchDraw;

	// clashes gathers the sentences by the places that they are about, those that share a
	// place together. Where two places carry one number each of them says so: it is one
	// thing, and is said once.
	function clashes(run) {
		const said = new Set();
		let groups = [];
		for (const l of BenchLeft.left(run).filter(l => ["twice", "number", "serial"].includes(l.kind))) {
			const about = run.places.filter(p => p.point_id === l.point_id || mentions(l.text, BenchRun.nameOf(p)) || mentions(l.text, p.ref)), once = [l.kind, BenchValue.serialKey(l.serial), ...about.map(p => p.point_id)].join("|");
			if (said.has(once)) continue;
			said.add(once);
			const near = groups.filter(g => g.places.some(p => about.includes(p)));
			groups = [...groups.filter(g => !near.includes(g)), {places: [...new Set([...near.flatMap(g => g.places), ...about])], texts: [...near.flatMap(g => g.texts), l.text]}];
		}
		return groups;
	}

	// mentions: the sentence names the point; 1.1.001 is not in 1.1.0012.
	function mentions(text, name) {
		const at = name ? text.indexOf(name) : -1;
		return at >= 0 && !/[\w.]/.test(text[at - 1] ?? " ") && !/\w/.test(text[at + name.length] ?? " ");
	}

	// draw shows how many there are on the button, and each in its panel.
	function draw(run, undo) {
		const all = clashes(run), one = all.length === 1;
		show("clash", all.length > 0);
		if (!all.length) show("clashes", false);
		$("clash").textContent = `≠ ${all.length}`;
		$("clash").setAttribute("aria-label", `≠ ${all.length}: ${one ? "one thing contradicts itself" : all.length + " things contradict themselves"}`);
		$("differ").replaceChildren(...all.map(group => {
			const item = make("li"), offers = group.places.flatMap(p => p.done.map(d => [p, d])).filter(([, d]) => BenchDraw.undoable(run, d));
			item.append(...group.texts.map(text => make("p", "≠ " + sentence(text))), ...offers.map(([p, d]) => make("button", `Take back ${d.serial || "the one"} at ${BenchRun.nameOf(p)}, by ${d.by}`, {type: "button", onclick: () => undo(d)})));
			if (!offers.length) item.append(make("p", "Nothing of it was written on this phone: it is taken back where it was written, or on the desk."));
			return item;
		}));
	}
	return {draw};
})();
