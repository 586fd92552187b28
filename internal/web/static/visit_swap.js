// What is to be said of another unit at a point: its serial and its number, in the words
// of the bench (internal/bench).
"use strict";
const VisitSwap = (() => {
	const {serialKey} = BenchValue;

	// look gives remarks: refused ones cannot be, asked ones may be a slip. Serials are
	// those that the phone took along, and those of units swapped on it since.
	function look(point, points, entries, serial, number) {
		const key = serialKey(serial), remarks = [], swapped = new Map(entries.filter(e => e.kind === "replaced" && e.body.serial).map(e => [e.point, e.body.serial])), there = p => swapped.get(p.id) ?? p.serial;
		if (key && serialKey(there(point)) === key) remarks.push({grave: "refused", text: `Device ${serial} is the one that is there already.`});
		else if (key) for (const p of points) if (serialKey(there(p)) === key) remarks.push({grave: "asked", text: `Device ${serial} is written down at ${p.ref}.`});
		if (number && point.number && number !== point.number) remarks.push({grave: "asked", text: `It answers to ${number}, and ${point.number} was to be set.`});
		return remarks;
	}
	return {look};
})();
