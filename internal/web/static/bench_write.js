// What is written at the bench. A phone keeps entries of its own making and hands them
// in; elsewhere the server is asked to write, and looks once more at what was typed.
"use strict";
const BenchWrite = (() => {
	const {serialKey, same} = BenchValue;

	// bodiesOf lists the entries of a device that was set, as internal/app makes them: what
	// became of it, and what is written with it.
	function bodiesOf(run, given, looked) {
		const hand = run.handGiven(given), place = hand.place, unit = unitOf(run, given), type = given.type || run.known(given).type || hand.type, with_ = [];
		const done = {run: run.id, outcome: "done", ...unit, ...(same(type, hand.type) ? {} : {type})};
		if (!place) {
			const loop = run.loopOf(hand.loop), where = Object.fromEntries(["zone", "area", "location", "floor"].filter(k => given[k]).map(k => [k, given[k]]));
			with_.push(["fitted", {panel: loop.panel, loop: loop.loop, ...where, ...(type ? {type} : {}), ...unit}]);
		} else if (place.replaces && !(place.unit && serialKey(place.unit) === serialKey(given.serial))) with_.push(["replaced", {...(done.type ? {type: done.type} : {}), ...unit}]);
		with_.push(["addressed", addressed(given, looked.number, !place || place.assigned || !place.number)]);
		if (Object.keys(given.modes ?? {}).length) with_.push(["set", {found: given.modes}]);
		if (given.samples?.length) with_.push(["read", {samples: given.samples}]);
		return {done, with: with_};
	}

	function unitOf(run, given) {
		const {serial, batch, made} = run.known(given);
		return Object.fromEntries(Object.entries({serial, batch, made}).filter(([, text]) => text));
	}

	// addressed says how the number stands: as set; where another one was read back, as
	// that was found.
	function addressed(given, number, wanted) {
		const set = !given.read || given.read === number;
		return {...(wanted ? {wanted: number} : {}), ...(given.read ? {found: given.read} : {}), ...(set ? {set: number} : {})};
	}

	// entriesOf gives them ids and instants. What makes a point comes first, so that no
	// hand-in has an entry of a point that is not there yet.
	function entriesOf(run, point, at, {done, with: parts}) {
		const made = parts.map(([kind, body]) => ({kind, body})).sort((a, b) => (b.kind === "fitted") - (a.kind === "fitted"));
		const all = made[0]?.kind === "fitted" ? [made[0], {kind: "benched", body: done}, ...made.slice(1)] : [{kind: "benched", body: done}, ...made];
		const group = VisitStore.newID(at);
		const entries = all.map(({kind, body}, i) => ({id: VisitStore.newID(at + i), site: run.pack.site, run: run.id, at: at + i, kind, body, group, state: 0, ...(point ? {point} : {})}));
		const record = entries.find(e => e.kind === "benched"), others = entries.filter(e => e !== record).map(e => e.id);
		if (others.length) record.body = {...record.body, with: others};
		return entries;
	}

	// keep puts entries on this phone; all or none.
	async function keep(entries) {
		try {
			await VisitStore.keep(entries);
		} catch (error) {
			throw Object.assign(new Error("not kept"), {why: VisitStore.notKept(error)});
		}
		return entries;
	}

	// instant is the time of what is written now: later than all that is here.
	const instant = (entries, now) => entries.reduce((last, e) => Math.max(last, e.at + 1), Math.ceil(now));

	// ask has the server write.
	const ask = (run, act) => VisitSync.ask(`/site/${run.pack.site}/bench/${run.id}`, {method: "POST", headers: {"Content-Type": "application/json"}, body: JSON.stringify({id: VisitStore.newID(VisitSync.now()), ...act})});

	// onPhone and byServer do the same five things: done, skip, reject, undo.
	function onPhone(run, entries) {
		const at = () => instant(entries, VisitSync.now()), record = (point, body) => keep(entriesOf(run, point, at(), {done: {run: run.id, ...body}, with: []}));
		return {
			done: (given, looked) => keep(entriesOf(run, given.point || VisitStore.newID(at()), at(), bodiesOf(run, given, looked))),
			skip: (point, reason) => record(point, {outcome: "skipped", ...(reason ? {reason} : {})}),
			reject: (point, given, reason) => record(point, {outcome: "rejected", ...unitOf(run, given), ...(given.type || run.known(given).type ? {type: given.type || run.known(given).type} : {}), reason}),
			undo: rec => { const first = at(); return keep([rec.id, ...rec.with].map((entry, i) => ({id: VisitStore.newID(first + i), site: run.pack.site, run: run.id, at: first + i, kind: "withdrawn", body: {entry, why: "taken back at the bench"}, state: 0}))); },
		};
	}

	function byServer(run) {
		return {
			done: (given, looked) => ask(run, {act: "done", ...given, sure: looked.remarks.some(r => r.grave === "asked")}),
			skip: (point, why) => ask(run, {act: "skip", point, why}),
			reject: (point, given, why) => ask(run, {act: "reject", point, serial: given.serial, type: given.type, why}),
			undo: rec => ask(run, {act: "undo", record: rec.id}),
		};
	}
	const end = (run, sure) => ask(run, {act: "end", sure});
	return {hands: (run, entries) => run.pack.phone ? onPhone(run, entries) : byServer(run), bodiesOf, entriesOf, end};
})();
