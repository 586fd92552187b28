// What meters show of a loop, typed on a phone as they show it. How a reading is written, and from which volts nobody goes
// on, comes with the visit: the log reads what was typed as any form, when it is handed in. TestPhoneMeasures holds both
// against each other.
"use strict";
const VisitMeters = (() => {
	const fieldsOf = pack => pack.kinds?.find(k => k.kind === "measured")?.fields.filter(f => !["panel", "loop"].includes(f.key) && !f.seldom) ?? [];

	// wrong says what is wrong with what was typed; empty where nothing is.
	function wrong(field, text) {
		if (!field.typed || !text) return "";
		if (/^\s*-/.test(text) && field.danger) return `${field.label}: ${text} is reversed polarity. Hold the red lead to plus and the black one to minus, and read again; if it stands, plus and minus are changed over: find where.`;
		if (!new RegExp(field.typed, "u").test(text)) return `${field.label}: ${text} is no reading. Write it as the meter shows it, for example 2.1${field.over ? ", or >500 where it was over its range" : ""}.`;
		if (field.danger && Number.parseFloat(text.replace(",", ".")) >= field.danger) return `Stop: ${text} is dangerous, and comes from no panel. Hands off the cores; find with the mains off what feeds them.`;
		return "";
	}

	// form gives what was typed of a loop, or throws a sentence.
	function form(pack, loop, typed) {
		const said = [["panel", loop.panel], ["loop", loop.loop]];
		let some = false;
		for (const field of fieldsOf(pack)) {
			const text = (typed[field.key] ?? "").trim(), why = wrong(field, text);
			if (why) throw new Error(why);
			if (text) said.push([field.key, text]);
			some ||= text && field.typed;
		}
		if (!some) throw new Error("Give at least one of ohms, insulation, volts and current.");
		return Object.fromEntries(said);
	}

	// says tells what was typed, in the words of the form.
	const says = (pack, form) => `measured on loop ${form.panel}.${form.loop}: ` + fieldsOf(pack).filter(f => form[f.key]).map(f => `${f.label} ${form[f.key]}`).join(", ");

	// draw makes the fields anew where the visit is another.
	function draw(box, pack, make) {
		if (box.dataset.visit === pack.visit) return;
		box.dataset.visit = pack.visit;
		box.replaceChildren(...fieldsOf(pack).map(f => {
			const label = make("label", f.label + " ");
			const input = f.choices.length ? make("select") : make("input", "", {autocomplete: "off", inputMode: f.typed && !f.over ? "decimal" : "text"});
			for (const c of f.choices.length ? [{value: "", says: "choose"}, ...f.choices] : []) input.append(make("option", c.says, {value: c.value}));
			input.dataset.key = f.key;
			label.append(input);
			return label;
		}));
	}
	const typed = box => Object.fromEntries([...box.querySelectorAll("[data-key]")].map(e => [e.dataset.key, e.value]));
	const clear = box => { for (const e of box.querySelectorAll("[data-key]")) e.value = ""; };
	return {wrong, form, says, draw, typed, clear};
})();
