// What is wrong at a point: as the log had it before this visit, with what was done
// since. The few lines of folding that a phone does by itself; TestPhoneDefects
// holds them against the register.
"use strict";
const VisitDefects = (() => {
	const ENDS_WITH_DEVICE = ["failed test", "fault", "damage", "wrong device", "missing device"];
	const same = (a, b) => (a ?? "").trim().split(/\s+/).join(" ").toLowerCase() === (b ?? "").trim().split(/\s+/).join(" ").toLowerCase();

	// at gives the defects of a point; works is what was done there in this visit, in order.
	function at(before, works) {
		const all = before.map(d => ({...d})), waits = d => d.state !== "closed";
		const see = (d, e, facts) => { d ? d.state = "open" : all.push({id: e.id, state: "open", since: "", ...facts}); };
		for (const e of works) {
			const b = e.body, named = all.find(d => d.id === b.defect);
			switch (e.kind) {
			case "tested":
				if (b.failed) see(all.find(d => d.nature === "failed test" && waits(d)), e, {nature: "failed test", grade: "serious", cause: "", text: b.text ?? ""});
				else for (const d of all) if (d.state === "mended" || d.nature === "failed test") d.state = "closed";
				break;
			case "fault":
				see(all.find(d => d.nature === "fault" && d.told === "fault" && waits(d) && same(d.cause, b.cause) && same(d.text, b.text)), e, {nature: "fault", told: "fault", grade: "serious", cause: b.cause ?? "", text: b.text ?? ""});
				break;
			case "defect": see(null, e, {nature: b.nature, grade: b.grade, cause: "", text: b.text ?? ""}); break;
			case "mended": if (named?.state === "open") named.state = "mended"; break;
			case "retested": if (named) named.state = b.failed ? "open" : "closed"; break;
			case "replaced": for (const d of all) if (d.state === "open" && ENDS_WITH_DEVICE.includes(d.nature)) d.state = "mended"; break;
			}
		}
		return all.filter(waits);
	}

	const says = d => [d.nature, d.cause, d.text].filter((part, i, all) => part && all.indexOf(part) === i).join(", ");
	return {at, says};
})();
