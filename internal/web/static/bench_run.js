// A run at the bench as it stands on this device: what the server told, with what was
// done since and is only here. The same folding as in internal/bench;
// TestBenchFoldsAlike holds it to that.
"use strict";
const BenchRun = (() => {
	const {serialKey, keyOf} = BenchValue;
	const padded = number => number ? String(number).padStart(3, "0") : "-";
	const nameOf = place => place.number ? `${place.loop}.${padded(place.number)}` : place.ref;

	// of makes the run of a pack and of the entries of this device, in any order.
	function of(pack, entries = []) {
		const run = {
			pack, id: pack.id, rules: pack.rules, alone: !!pack.alone, from: pack.from, first: pack.first, closed: pack.closed, types: new Map(pack.types.map(t => [t.key, t])),
			places: pack.places.map(p => ({...p, has: {...p.has}, done: [], skipped: null})), records: records(pack, entries), rejected: [],
		};
		const byPoint = new Map(run.places.map(p => [p.point_id, p]));
		run.place = id => byPoint.get(id);
		run.loopOf = name => pack.loops.find(l => l.name === name) ?? {name, panel: "", loop: name, first: 1, last: 0, unset: 0, reserved: [], separate: false};
		run.typed = name => run.types.get(keyOf(name)) ?? {...pack.other, key: keyOf(name), name: name ?? ""};
		run.rangeOf = (loop, type) => loop + (type.modules && run.loopOf(loop).separate ? "/modules" : "");
		run.known = device => knownIn(pack.box, device);
		for (const rec of run.records) file(run, byPoint, rec);
		for (const p of run.places) settle(run, p);
		carriers(run);
		number(run);
		see(run);
		box(run);
		return BenchHand.on(run);
	}

	// records are what stands of the run, in order: those of the server, and those that
	// are only here or were handed in since it was asked. What was taken back is left out.
	function records(pack, entries) {
		const fresh = entries.filter(e => e.run === pack.id && (e.state === 0 || e.state === 1 && e.settled > pack.now)), byID = new Map(fresh.map(e => [e.id, e]));
		const back = new Set(fresh.filter(e => e.kind === "withdrawn").map(e => e.body.entry)), told = new Set(pack.done.map(r => r.id));
		const mine = fresh.filter(e => e.kind === "benched" && !told.has(e.id)).map(e => recordOf(e, byID, pack));
		return [...pack.done, ...mine].filter(r => !back.has(r.id)).sort((a, b) => a.at - b.at || (a.id < b.id ? -1 : 1));
	}

	// recordOf makes a record of an entry and of those written with it.
	function recordOf(e, byID, pack) {
		const body = e.body, parts = (body.with ?? []).map(id => byID.get(id)).filter(Boolean), part = kind => parts.find(x => x.kind === kind)?.body ?? {}, number = part("addressed");
		return {
			id: e.id, at: e.at, by: pack.by, station: pack.station, outcome: body.outcome, point_id: e.point ?? "", serial: body.serial ?? "", type: body.type ?? "", reason: body.reason ?? "",
			with: body.with ?? [], samples: part("read").samples ?? [], carries: number.found || number.set || 0, wanted: number.wanted ?? 0, has: part("set").found ?? {}, place: parts.find(x => x.kind === "fitted")?.body, here: true,
		};
	}

	// file puts a record where it belongs.
	function file(run, byPoint, rec) {
		if (rec.outcome === "rejected") return run.rejected.push(rec);
		if (!byPoint.has(rec.point_id) && rec.place) {
			const place = newPlace(run, rec);
			byPoint.set(rec.point_id, place);
			run.places.push(place);
		}
		const place = byPoint.get(rec.point_id);
		if (!place) return;
		if (rec.outcome === "skipped") { if (!place.done.length) place.skipped = rec; return; }
		place.done.push(rec);
		place.skipped = null;
	}

	function newPlace(run, rec) {
		const {panel, loop} = rec.place, name = run.pack.loops.find(l => l.panel === panel && l.loop === loop)?.name ?? loop, type = rec.place.type ?? "";
		return {
			point_id: rec.point_id, loop: name, number: 0, wanted: 0, assigned: false, type, stands: 0, steps: [], modes: run.types.get(keyOf(type))?.modes ?? [], location: rec.place.location ?? "", area: rec.place.area ?? "", zone: rec.place.zone ?? "",
			floor: rec.place.floor ?? "", unit: rec.serial, replaces: false, card: "", ref: "", has: {}, done: [], skipped: null,
		};
	}

	// settle says what the register has of a place now: its device, its type, the number
	// that is wanted, and the one that it is to have: wanted, or as it stands.
	function settle(run, place) {
		const told = run.pack.numbers.find(n => n.point_id === place.point_id), wasDone = run.pack.places.find(p => p.point_id === place.point_id)?.state === "done";
		place.meant = told?.wanted ?? 0;
		place.carries = told?.carries ?? 0;
		if (wasDone && !place.done.length) Object.assign(place, {unit: "", carries: 0, meant: place.wanted, has: {}}); // taken back here: what was before is not told
		for (const rec of place.done.filter(r => r.here)) {
			if (rec.serial) place.unit = rec.serial;
			if (rec.type && !BenchValue.same(rec.type, place.type)) retype(run, place, rec.type);
			place.wanted = rec.wanted || place.wanted;
			Object.assign(place.has, rec.has);
		}
		if (place.done.length) place.replaces = false;
		if (!place.done.some(r => r.here)) return;
		place.carries = place.done.at(-1).carries;
		place.meant = place.wanted || (place.carries === run.loopOf(place.loop).unset ? 0 : place.carries);
		if (place.wanted || place.carries) place.ref = `${place.loop}.${padded(place.wanted || place.carries)}`;
	}

	// retype makes the device of a place one of another type: it should have that type's
	// settings, and those that were wanted of the place and not of its type before.
	function retype(run, place, type) {
		const of = name => run.types.get(keyOf(name))?.modes ?? [], was = of(place.type), own = place.modes.filter(m => !was.some(w => w.name === m.name && w.choice === m.choice));
		place.modes = [...of(type).filter(m => !own.some(o => BenchValue.same(o.name, m.name))), ...own].sort((a, b) => a.name < b.name ? -1 : 1);
		place.type = type;
	}

	// carriers are the points with a number that is set or wanted, in the order of the
	// register: each device of a place where several were set.
	function carriers(run) {
		const here = new Map(run.places.map(p => [p.point_id, devicesOf(run, p)])), order = new Set([...run.pack.numbers.map(n => n.point_id), ...here.keys()]);
		run.numbers = [...order].flatMap(id => here.get(id) ?? run.pack.numbers.filter(n => n.point_id === id)).filter(c => c.carries || c.wanted);
	}

	function devicesOf(run, p) {
		const t = run.typed(p.type), base = {point_id: p.point_id, loop: p.loop, modules: t.modules, width: t.width, wanted: p.meant};
		const name = serial => p.ref + (p.location || p.area ? ` (${p.location || p.area})` : "") + (serial ? ", device " + serial : "");
		if (p.done.length) return p.done.map(d => ({...base, carries: d.carries, name: name(d.serial)}));
		return [{...base, carries: p.carries === run.loopOf(p.loop).unset ? 0 : p.carries, name: name(p.unit)}];
	}

	// number gives places without a wanted number the next free ones, in their order.
	function number(run) {
		run.taken = new Map();
		run.take = (range, first, width) => {
			if (!run.taken.has(range)) run.taken.set(range, new Set());
			if (first) for (let n = first; n < first + Math.max(width, 1); n++) run.taken.get(range).add(n);
		};
		for (const c of run.numbers) for (const n of [c.wanted, c.carries]) run.take(run.rangeOf(c.loop, c), n, c.width);
		run.refuses = (loop, n, type) => refusal(run.loopOf(loop), n, type);
		run.next = (loop, type) => nextNumber(run, loop, type);
		for (const p of run.places) {
			const t = run.typed(p.type);
			p.assigned = !p.meant && !p.done.length && !!run.from;
			p.number = p.assigned ? run.next(p.loop, t) : p.meant || p.carries;
			if (p.assigned) run.take(run.rangeOf(p.loop, t), p.number, t.width);
		}
	}

	function nextNumber(run, loop, type) {
		const facts = run.loopOf(loop), taken = run.taken.get(run.rangeOf(loop, type)) ?? new Set();
		for (let n = Math.max(run.from, facts.first, 1); n + type.width - 1 <= Math.min(facts.last, type.most); n++) {
			let free = !refusal(facts, n, type);
			for (let k = n; free && k < n + type.width; k++) free = !taken.has(k);
			if (free) return n;
		}
		return 0;
	}

	// refusal says why a device of the type cannot carry the number on the loop; empty: it can.
	function refusal(facts, n, type) {
		const first = Math.max(facts.first, 1), last = n + Math.max(type.width, 1) - 1;
		if (n > type.most) return `number ${n} cannot be set on type ${type.name}, which reaches ${type.most}`;
		if (n < first || n > facts.last) return `number ${n} is not one of the loop's numbers ${first} to ${facts.last}`;
		if (last > facts.last) return `a device that takes ${type.width} numbers from ${n} needs number ${last}, and the loop ends at ${facts.last}`;
		if (facts.unset >= n && facts.unset <= last) return `number ${facts.unset} is the one that a device carries before anyone sets it`;
		const reserved = facts.reserved.find(r => r >= n && r <= last);
		return reserved === undefined ? "" : `number ${reserved} is reserved on this loop`;
	}

	// see notes where each serial was seen: at points, and among the rejected.
	function see(run) {
		run.seen = new Map();
		const note = (serial, where) => { const key = serialKey(serial); if (key) run.seen.set(key, [...run.seen.get(key) ?? [], where]); };
		const at = new Map(run.pack.serials.map(s => [s.point_id, {serial: s.serial, point: s.point_id, ref: s.ref}]));
		for (const p of run.places) if (p.unit) at.set(p.point_id, {serial: p.unit, point: p.point_id, ref: p.ref, place: p}); else at.delete(p.point_id);
		for (const s of at.values()) note(s.serial, s);
		for (const p of run.places) for (const d of p.done) if (serialKey(d.serial) !== serialKey(p.unit)) note(d.serial, {point: p.point_id, ref: p.ref, place: p});
		for (const rejected of run.rejected) note(rejected.serial, {rejected});
	}

	const holds = (place, key) => place.done.some(d => serialKey(d.serial) === key);

	// box says of each device on the list what became of it.
	function box(run) {
		const count = new Map();
		for (const d of run.pack.box) count.set(serialKey(d.serial), (count.get(serialKey(d.serial)) ?? 0) + 1);
		run.box = run.pack.box.map(d => {
			const key = serialKey(d.serial), seen = run.seen.get(key) ?? [];
			return {...d, twice: key !== "" && count.get(key) > 1, place: seen.findLast(h => h.place && holds(h.place, key))?.place ?? null, rejected: seen.some(h => h.rejected)};
		});
	}

	// knownIn fills in from the list of the box what is not given of a device.
	function knownIn(list, d) {
		const key = serialKey(d.serial), b = key ? list.find(x => serialKey(x.serial) === key) : undefined;
		return {serial: d.serial ?? "", type: d.type || b?.type || "", batch: d.batch || b?.batch || "", made: d.made || b?.made || ""};
	}
	return {of, nameOf, padded};
})();
