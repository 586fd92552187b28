// What is in hand at the bench: which place is next, and which device goes there; as
// internal/bench gives it.
"use strict";
const BenchHand = (() => {
	const {serialKey, same, keyOf, median} = BenchValue;

	// on adds to a run the ways of asking what is in hand.
	function on(run) {
		run.newLoop = () => {
			if (run.pack.loop) return run.pack.loop;
			const loops = new Set(run.places.map(p => p.loop));
			return loops.size === 1 ? [...loops][0] : "";
		};
		run.handAt = place => {
			const h = newHand(run, place.loop, place.number, place.type);
			Object.assign(h, {place, modes: place.modes, device: deviceFor(run, place)});
			if (!place.replaces && place.carries) Object.assign(h, {stands: place.carries, fresh: false});
			return h;
		};
		run.handNew = device => {
			const d = run.known(device), loop = run.newLoop();
			return loop ? {...newHand(run, loop, run.next(loop, run.typed(d.type)), d.type), device: d} : null;
		};
		run.handOf = device => {
			const d = run.known(device), place = placeOf(run, d.serial) ?? openOfType(run, d.type);
			if (!place) return run.handNew(d);
			const h = run.handAt(place);
			return {...h, device: d, type: h.type || d.type};
		};
		run.hand = fromBack => handNext(run, fromBack ? run.places.toReversed() : run.places);
		run.handGiven = given => handGiven(run, given);
		run.peers = (but, type) => run.places.filter(p => p !== but && p.done.at(-1)?.samples?.length && same(p.type, type.name)).map(p => median(p.done.at(-1).samples));
		return run;
	}

	function newHand(run, loop, number, type) {
		const t = run.typed(type);
		return {place: null, loop, number, last: number ? number + t.width - 1 : 0, type, modes: t.modes ?? [], device: null, stands: run.loopOf(loop).unset, fresh: true};
	}

	// handGiven is the hand that what was typed is about.
	function handGiven(run, given) {
		const place = run.place(given.point);
		if (place) {
			const h = run.handAt(place);
			if (given.number && (place.assigned || !place.number)) h.number = given.number;
			else if (!place.number) h.number = given.read || 0;
			return h;
		}
		const loop = run.newLoop(), d = run.known(given);
		return newHand(run, loop, given.number || (loop ? run.next(loop, run.typed(d.type)) : 0), d.type);
	}

	function handNext(run, places) {
		const device = nextDevice(run);
		if (run.first === "device" && device) return run.handOf(device);
		const place = firstOpen(places);
		if (place) return run.handAt(place);
		if (device) return run.handOf(device);
		return run.newLoop() && run.pack.open_ended && !run.closed ? run.handOf({serial: ""}) : null;
	}

	const open = places => places.filter(p => !p.done.length);
	const firstOpen = places => open(places).find(p => !p.skipped) ?? open(places)[0] ?? null;
	const nextDevice = run => run.box.find(d => !d.place && !d.rejected) ?? null;

	// placeOf is the open place that asks for a device by its serial.
	function placeOf(run, serial) {
		const key = serialKey(serial);
		return key ? open(run.places).find(p => !p.replaces && serialKey(p.unit) === key) ?? null : null;
	}

	const planned = (run, place) => { const key = serialKey(place.unit); return key ? run.pack.box.find(d => serialKey(d.serial) === key) ?? null : null; };

	// deviceFor is the device of the box that is meant for a place: the one of its serial,
	// else the first of its type that no place asks for.
	const deviceFor = (run, place) => planned(run, place) ?? run.box.find(d => !d.place && !d.rejected && same(d.type, place.type) && !placeOf(run, d.serial)) ?? null;

	const openOfType = (run, type) => firstOpen(run.places.filter(p => !planned(run, p) && (!keyOf(type) || same(p.type, type) || !p.type)));
	return {on};
})();
