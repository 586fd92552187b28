// What is to be said of what was typed of the device in hand, as Run.Look of
// internal/bench says it: word for word the same. TestBenchLooksAlike holds it to that.
// A run is what BenchRun.of makes of a pack.
"use strict";
const BenchLook = (() => {
	const {serialKey, same, sameChoice, keyOf} = BenchValue;
	const because = reason => reason ? ": " + reason : "";
	const device = serial => serial ? "device " + serial : "a device without serial";

	// look gives the number that it comes to, the value judged, and the remarks, the gravest first.
	function look(run, given) {
		const hand = run.handGiven(given), type = run.typed(given.type || run.known(given).type || hand.type), remarks = [];
		const say = (code, grave, text) => remarks.push({code, grave, text});
		ofPlace(hand, say);
		ofUnit(run, given, hand, type, say);
		ofNumber(run, given, hand, type, say);
		ofModes(given, hand, say);
		const value = ofValue(run, given, hand, type, say);
		const rank = {refused: 0, asked: 1, told: 2};
		remarks.sort((a, b) => rank[a.grave] - rank[b.grave]);
		return {number: hand.number, last: hand.last, value, remarks};
	}

	function ofPlace({place}, say) {
		if (!place) return;
		if (place.done.length) say("done-before", "refused", `${BenchRun.nameOf(place)} has its device already, ${device(place.done.at(-1).serial)}; take that one back first`);
		else if (place.skipped) say("skipped-before", "told", "this place was skipped before" + because(place.skipped.reason));
	}

	function ofUnit(run, given, hand, type, say) {
		const key = serialKey(given.serial), lists = run.box.some(d => d.serial);
		if (!key && lists) say("serial-missing", "asked", "no serial was given, and the list of the box has serials");
		else if (!key) say("serial-missing", "told", "no serial was given");
		else ofSerial(run, given.serial, key, hand, lists, say);
		if (hand.type && type.name && !same(hand.type, type.name)) say("type-other", "asked", `this device is of type ${type.name}, and the place is for type ${hand.type}`);
	}

	function ofSerial(run, serial, key, {place}, lists, say) {
		for (const h of run.seen.get(key) ?? []) {
			const here = place && h.point === place.point_id;
			if (h.rejected) say("serial-seen", "asked", `device ${serial} was rejected before` + because(h.rejected.reason));
			else if (here && run.alone) say("serial-seen", "refused", `device ${serial} is the one that is there already`);
			else if (here) continue;
			else if (h.place?.done.length) say("serial-seen", "refused", `device ${serial} was set for ${BenchRun.nameOf(h.place)} already`);
			else if (h.place) say("serial-seen", "asked", `device ${serial} is meant for ${BenchRun.nameOf(h.place)}`);
			else say("serial-seen", "asked", `device ${serial} is written down at ${h.ref}, which is no place of this run`);
		}
		if (place && !place.done.length && !place.replaces && place.unit && serialKey(place.unit) !== key)
			say("serial-other", "asked", `the place is planned for device ${place.unit}, and this one is ${serial}`);
		const listed = run.box.filter(d => serialKey(d.serial) === key).length;
		if (listed > 1) say("serial-seen", "asked", `serial ${serial} stands on the list of the box ${listed} times: compare the labels`);
		else if (!listed && lists) say("not-on-list", "asked", `device ${serial} is not on the list of the box`);
	}

	function ofNumber(run, given, hand, type, say) {
		if (!hand.number) return say("no-number", "refused", "there is no number for this device: none is planned, and none was given");
		hand.last = hand.number + type.width - 1;
		const why = run.refuses(hand.loop, hand.number, type), unset = run.loopOf(hand.loop).unset, carried = given.read || hand.number;
		if (why) say("number-impossible", "refused", why);
		if (carried !== hand.number && carried === unset) say("number-other", "asked", `it still answers to ${unset}, the number before anybody sets it; ${hand.number} was to be set`);
		else if (carried !== hand.number) say("number-other", "asked", `it answers to ${carried}, and ${hand.number} was to be set`);
		ofTaken(run, carried, hand, type, say);
	}

	function ofTaken(run, first, hand, type, say) {
		const range = run.rangeOf(hand.loop, type), overlaps = (n, width) => n !== 0 && n < first + type.width && first < n + Math.max(width, 1);
		for (const c of run.numbers) {
			if (hand.place && c.point_id === hand.place.point_id || run.rangeOf(c.loop, c) !== range) continue;
			const stays = c.wanted === 0 || overlaps(c.wanted, c.width);
			if (overlaps(c.carries, c.width) && (stays || run.place(c.point_id)?.done.length)) say("number-taken", "refused", `number ${c.carries} is set already on ${c.name}`);
			else if (overlaps(c.carries, c.width)) say("number-taken", "asked", `number ${c.carries} is still set on ${c.name}, which is to have ${c.wanted}`);
			else if (overlaps(c.wanted, c.width)) say("number-taken", "asked", `number ${c.wanted} is meant for ${c.name}`);
		}
	}

	function ofModes(given, hand, say) {
		const found = new Map(Object.entries(given.modes ?? {}).map(([name, choice]) => [keyOf(name), choice]));
		for (const m of hand.modes) {
			const has = found.get(keyOf(m.name));
			if (has !== undefined && !sameChoice(has, m.choice)) say("mode-other", "asked", `${m.name} is ${has}, and ${m.choice} is wanted` + because(m.reason));
		}
	}

	function ofValue(run, given, hand, type, say) {
		const rules = run.rules, v = BenchValue.judge(type, BenchValue.settingsFor(given.modes, hand.modes), given.samples, given.seconds, rules);
		if (v.state === "no value") return v;
		const amount = x => BenchValue.amount(type, x);
		if (v.state === "no band" && type.judged) say("no-band", "told", `no band is known for type ${type.name} in this setting: the value is kept, and not judged`);
		if (v.state === "above") say("outside-band", "asked", `${amount(v.value)} is above the band, which ends at ${amount(v.high)}`);
		if (v.state === "below") say("outside-band", "asked", `${amount(v.value)} is below the band, which begins at ${amount(v.low)}`);
		if (v.settling && v.wait_seconds > 0) say("settling", "told", "the value is still settling: wait for the rest of the three minutes");
		else if (v.settling) say("settling", "asked", "the value still moves one way: take a second look");
		else if (v.unsteady) say("unsteady", "asked", `the samples spread by ${amount(v.spread)}, and up to ${amount(type.spread)} is usual`);
		if ((v.low !== null || v.high !== null) && !v.settling && BenchValue.nearest(v) < rules.near_noises * type.noise)
			say("second-look", "asked", "a limit is so near that another look may lie on its other side: take a second look");
		ofPeers(run, v, hand, type, say);
		return v;
	}

	function ofPeers(run, v, hand, type, say) {
		const peers = run.peers(hand.place, type), rules = run.rules, amount = x => BenchValue.amount(type, x);
		if (BenchValue.unlike(v.value, peers, type.noise, rules))
			say("unlike-box", "asked", `${amount(v.value)} is unlike the ${peers.length} others of type ${type.name} in this run, which lie about ${amount(BenchValue.median(peers))}`);
		if (v.state === "above" || v.state === "below") return;
		let rest = type.rest, why = "a clean unit shows ";
		if (rest === null && peers.length >= rules.least_peers) { rest = BenchValue.median(peers); why = "the others lie about "; }
		if (rest !== null && BenchValue.restsDirty(v, rest, type, rules))
			say("rests-dirty", "asked", `${amount(v.value)} is where a dirty unit would rest, for a new one: ${why}${amount(rest)}`);
	}
	return {look, device, because};
})();
