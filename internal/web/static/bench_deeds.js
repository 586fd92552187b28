// What is done on the page of a run: a device set, a place skipped, a device put aside,
// one's own taken back, the run ended.
"use strict";
const BenchDeeds = (() => {
	const {$, show} = BenchDraw, {state, hand, given, clear} = BenchTyped;

	// write has something written, keeps it in what is shown, and asks the server.
	async function write(work, says) {
		if (state.writing) return false;
		state.writing = true;
		try {
			const made = await work(BenchWrite.hands(state.run, state.entries));
			if (Array.isArray(made)) state.entries.push(...made);
			else BenchTold.take(made);
			BenchShow.trouble("");
			if (says) BenchShow.wrote(says);
			return true;
		} catch (error) {
			BenchShow.trouble(error.why || (error.message === "signed out" ? "Nobody is signed in here: sign in, and do it again. What you typed is still there." : "The server could not be reached, and this device hands nothing in later: do it again. What you typed is still there."));
			return false;
		} finally {
			state.writing = false;
			if (state.pack) BenchShow.refold();
		}
	}

	// submit writes the device in hand down. What cannot be is refused; what may be a slip,
	// and a number that nobody read back, is asked once.
	async function submit() {
		const h = hand();
		if (!h) return;
		const g = given(h), looked = BenchLook.look(state.run, g), remarks = BenchTyped.remarks(h, g, looked), faults = BenchTyped.faults(h);
		if (faults.length) return BenchShow.wrong(faults);
		BenchShow.trouble("");
		if (remarks.some(r => r.grave === "refused") || !state.asked && remarks.some(r => r.grave === "asked")) return BenchShow.ask(h, remarks);
		if (!await write(w => w.done(g, looked), `${BenchRun.padded(looked.number)} is set.`)) return;
		clear();
		next();
	}

	function next() {
		BenchShow.draw();
		scrollTo({top: 0, behavior: "instant"});
		$("upper").scrollTop = 0;
		if (matchMedia("(pointer: fine)").matches) $("serial").focus();
		VisitSync.round(BenchTyped.siteID);
	}

	const mine = rec => rec.by === state.pack.by && BenchDraw.undoable(state.run, rec);
	const undo = async rec => { if (rec && await write(w => w.undo(rec), "")) { show("wrote", false); next(); } };
	const undoLast = () => { const rec = state.run.records.filter(mine).at(-1); return rec ? undo(rec) : BenchShow.trouble("Nothing of yours is there to take back."); };

	async function skip() {
		const h = hand(), why = $("why").value.trim();
		if (!h?.place) return BenchShow.trouble("No place is in hand that could be skipped.");
		if (h.place.done.length) return BenchShow.trouble(`${BenchRun.nameOf(h.place)} has its device already.`);
		if (await write(w => w.skip(h.place.point_id, why), `${BenchRun.nameOf(h.place)} is skipped for now.`)) { clear(); BenchMove.close(); next(); }
	}

	async function reject() {
		const h = hand(), why = $("why").value.trim(), g = h ? given(h) : {serial: $("serial").value.trim(), type: ""};
		if (!why) return BenchShow.trouble("Say why, in a word: a rejected device has a reason.");
		if (await write(w => w.reject(h?.place?.point_id ?? "", {...g, type: g.type || h?.type || ""}, why), `${g.serial || "The device"} is put aside.`)) {
			const at = state.at;
			clear();
			state.at = at; // its place is still in hand
			BenchMove.close();
			next();
		}
	}

	async function end() {
		const left = BenchDraw.toSeeTo(state.run).length;
		if (state.entries.some(e => e.state === 0)) return BenchShow.trouble("Some of it is only on this phone: hand it in first, with a network.");
		if (left && !state.ending) { state.ending = true; return BenchShow.trouble(`Left in this run: ${left}. Press once more to end it all the same: they stay listed.`); }
		state.ending = false;
		await write(() => BenchWrite.end(state.run, left > 0), "");
		BenchMove.close();
		BenchShow.draw();
	}
	return {submit, undo, undoLast, skip, reject, end, mine};
})();
