// What the page of the bench shows: the device in hand, the verdict, what is left. It
// reads the state of the page and changes nothing of it.
"use strict";
const BenchDraw = (() => {
	const $ = id => document.getElementById(id);
	const show = (id, on) => { $(id).hidden = !on; };
	const sentence = text => text ? text[0].toUpperCase() + text.slice(1) + "." : "";
	const STATES = {inside: "○ inside its band", margin: "◐ inside, near a limit", above: "▲ above its band", below: "▼ below its band", "no band": "· no band known"};
	const MARKS = {"": "○", so: "✓", other: "≠"}, SAYS = {"": "not read back", so: "found so", other: "found otherwise"};

	function make(tag, text, attributes) {
		const e = Object.assign(document.createElement(tag), attributes);
		e.append(text ?? "");
		return e;
	}

	const span = seconds => seconds < 90 ? Math.round(seconds) + " s" : seconds < 5400 ? Math.round(seconds / 60) + " min" : Math.round(seconds / 360) / 10 + " h";

	// pace says how far the run has come, and how long the rest takes.
	function pace(run, now) {
		const p = BenchLeft.progress(run, now), known = p.pace_seconds && p.left;
		$("turn").textContent = `${p.done} of ${p.places} set` + (p.skipped ? `, ${p.skipped} skipped` : "") + (p.rejected ? `, ${p.rejected} rejected` : "");
		$("pace").textContent = known ? `· ${span(p.left_seconds)} left` : "";
		$("leftpace").textContent = known ? `${span(p.pace_seconds)} a device so far; at this pace the rest takes ${span(p.left_seconds)}.` : "";
	}

	// numbers are those that a device takes, the first one large.
	function numbers(h) {
		if (!h.number) return ["–"];
		const pad = n => String(n).padStart(3, "0");
		return [pad(h.number), ...(h.last > h.number ? [make("span", "–" + pad(h.last))] : [])];
	}

	// hand shows the device in hand: its number, how it is set, where it goes.
	function hand(run, h) {
		const place = h.place, where = place ? [place.location, place.area, place.floor, place.zone && "zone " + place.zone].filter(Boolean) : [];
		$("number").replaceChildren(...numbers(h));
		$("where").textContent = place ? where[0] ?? "no place written down" : "a new place";
		$("type").textContent = [...where.slice(1), `loop ${h.loop}`, h.type || "type not said", h.device?.serial ? "device " + h.device.serial : ""].filter(Boolean).join(" · ");
		card(run, h);
	}

	// card shows how the number is set, cut to what the page does not say in words.
	function card(run, h) {
		const next = run.pack.next.find(n => n.number === h.number && BenchValue.same(n.type, h.type)), told = run.pack.places.find(p => p.number === h.number && BenchValue.same(p.type, h.type) && p.card);
		const own = h.place && h.place.number === h.number && run.pack.places.find(p => p.point_id === h.place.point_id && p.number === h.number), of = own || next || told;
		const drawn = of?.card ? new DOMParser().parseFromString(of.card, "image/svg+xml").documentElement : null, svg = drawn?.localName === "svg" ? document.importNode(drawn, true) : null;
		$("card").replaceChildren(...(svg ? [svg] : []));
		if (svg) cut(svg);
		const steps = (own ?? next)?.steps ?? [], way = run.typed(h.type).way;
		const carries = h.stands ? h.fresh ? `From ${h.stands}, as from its box` : `Carries ${h.stands} now` : "What it carries is not known";
		$("steps").textContent = carries + ": " + (steps.length ? steps.join("; ") : h.stands === h.number ? "nothing to move" : way && way !== "unknown" ? "set it to " + h.number : "nobody said how this type is set") + ".";
	}

	// cut leaves of a card the switches or dials: number, place and modes stand beside it.
	function cut(svg) {
		const parts = [...svg.querySelectorAll(".card-side, .card-frame, .card-lever, .card-dial, .card-digit, .card-name, .card-value")];
		if (!parts.length) return svg.remove();
		const boxes = parts.map(p => p.getBBox()), top = Math.min(...boxes.map(b => b.y)) - 2, end = Math.max(...boxes.map(b => b.y + b.height)) + 2, [x, , width] = svg.getAttribute("viewBox").split(/[\s,]+/).map(Number);
		for (const e of svg.querySelectorAll("text")) if (e.getBBox().y >= end) e.remove(); // what would be cut through
		svg.setAttribute("viewBox", `${x} ${top} ${width} ${end - top}`);
		svg.removeAttribute("height");
		svg.setAttribute("width", "100%");
		$("card").style.setProperty("aspect-ratio", `${width} / ${end - top}`); // as high as it needs, and lower where the screen is short
	}

	// readback shows what is to be found on the device, each with what was found.
	function readback(h, found) {
		const chips = [["number", "number", BenchRun.padded(h.number)], ...h.modes.map(m => [m.name, m.name, m.choice])];
		$("readback").replaceChildren(
			...(chips.length > 1 ? [make("button", "✓ All", {type: "button", value: "all", ariaLabel: "✓ All was found as wanted"})] : []),
			...chips.map(([name, says, choice]) => {
				const state = found.get(name)?.state ?? "", b = make("button", "", {type: "button", value: "of:" + name, ariaLabel: `${says} ${MARKS[state]} ${choice}: ${SAYS[state]}`});
				b.append(make("small", says + " "), make("span", `${MARKS[state]} ${choice}`));
				b.dataset.state = state;
				return b;
			}));
	}

	// otherwise asks for what was found instead.
	function otherwise(run, h, found) {
		const open = [...found].filter(([, f]) => f.state === "other");
		show("otherwise", open.length > 0);
		$("otherwise").replaceChildren(...open.map(([name, f]) => {
			const line = make("div"), label = make("label", name === "number" ? "Number read back " : name + " found "), input = make("input", "", {autocomplete: "off", value: f.text ?? "", inputMode: name === "number" ? "numeric" : "text"});
			input.dataset.of = name;
			label.append(input);
			const offers = name === "number" ? [String(run.loopOf(h.loop).unset || "")] : choices(run, h, name);
			line.append(label, ...offers.filter(Boolean).map(text => { const b = make("button", text, {type: "button", value: text}); b.dataset.of = name; return b; }));
			return line;
		}));
	}

	// choices are what the bands of the type name of a setting, but for what is wanted.
	function choices(run, h, name) {
		const wanted = h.modes.find(m => m.name === name)?.choice ?? "", of = run.typed(h.type).bands.map(b => b.setting.split("=")).filter(([n]) => BenchValue.same(n, name)).map(([, c]) => (c ?? "").trim());
		return [...new Set(of)].filter(c => !BenchValue.sameChoice(c, wanted));
	}

	// verdict shows where the value lies, and what is to be said; where something is asked
	// or refused, that stands first.
	function verdict(type, v, remarks, asking) {
		const band = bandLine(type), lines = [], refused = remarks.some(r => r.grave === "refused");
		if (v.state !== "no value") lines.push(make("p", `${STATES[v.state]}: ${BenchValue.amount(type, v.value)}` + (v.spread !== null ? `, spread ${BenchValue.amount(type, v.spread)}` : ""), {className: "state"}));
		else lines.push(make("p", band));
		const said = remarks.map(r => make("p", sentence(r.text), {className: r.grave}));
		$("verdict").replaceChildren(...(asking ? [...(refused ? [make("p", "Not written: this cannot be.", {className: "state"})] : []), ...said, ...lines] : [...lines, ...said]));
		$("verdict").dataset.state = v.state;
	}

	// negative: values below nothing are possible as far as anybody knows.
	const negative = type => type.judged && (!type.bands.length || type.bands.some(b => b.low < 0 || b.high < 0) || type.rest < 0);

	function bandLine(type) {
		if (!type.judged) return "It has no resting value to judge.";
		const bands = type.bands.map(b => `${b.setting ? b.setting + ": " : ""}${b.low ?? "…"} to ${b.high ?? "…"}${type.unit ? " " + type.unit : ""}`);
		return bands.length ? "Band " + bands.join("; ") + "." : "No band is known for this type.";
	}

	// toSeeTo is what of the left somebody may still do.
	const toSeeTo = run => BenchLeft.left(run).filter(l => !["rejected", "unused", "listed"].includes(l.kind));

	// left lists what is left, the places, and what was put aside.
	function left(run, at, go) {
		const all = BenchLeft.left(run), open = toSeeTo(run);
		$("leftsays").textContent = open.length ? `Left: ${open.length}` : "Nothing is left";
		$("left").replaceChildren(...all.filter(l => l.kind !== "rejected" && l.kind !== "open").map(l => make("li", sentence(l.text))));
		$("rejects").replaceChildren(...(run.rejected.length ? run.rejected.map(r => make("li", sentence(`${BenchLook.device(r.serial)}${r.type ? " of type " + r.type : ""}: ${r.reason}`))) : [make("li", "Nothing.")]));
		const marks = p => p.done.length > 1 ? "≠" : p.done.length ? "●" : p.skipped ? "◌" : "○", says = p => p.done.length > 1 ? "set twice" : p.done.length ? "set" : p.skipped ? "skipped" : "open";
		$("places").replaceChildren(...run.places.map(p => {
			const li = make("li"), b = make("button", `${marks(p)} ${BenchRun.nameOf(p)} ${p.location || p.area}`, {type: "button", onclick: () => go(p.point_id), ariaLabel: `${BenchRun.nameOf(p)} ${p.location || p.area}: ${says(p)}`});
			if (p.point_id === at) b.setAttribute("aria-current", "true");
			li.append(b);
			return li;
		}));
	}

	// undoable: a phone takes back what was written on it, and nothing else.
	const undoable = (run, rec) => !run.pack.phone || rec.here || rec.station === run.pack.station;
	return {$, show, make, sentence, pace, hand, readback, otherwise, verdict, negative, toSeeTo, left, undoable};
})();
