// What the page of a run shows, and when: it is drawn anew from the run and from what
// was typed after each change.
"use strict";
const BenchShow = (() => {
	const {$, show, make, sentence} = BenchDraw, {state, hand, given} = BenchTyped;
	const trouble = text => { $("trouble").textContent = text; show("trouble", text !== ""); };
	const now = () => VisitSync.now();
	const PANELS = [["all", "list"], ["menu", "more"], ["clashes", "clash"]]; // what takes the place of the device in hand, and its button

	function draw() {
		const run = state.run;
		drawKept();
		show("none", !run);
		show("run", !!run);
		if (!run) return;
		$("site").textContent = run.pack.name;
		$("title").textContent = `${run.pack.name} · ${run.pack.site_name}`;
		document.title = `${run.pack.name} · Sootline`;
		BenchDraw.pace(run, now());
		BenchClash.draw(run, BenchDeeds.undo);
		if (!$("all").hidden) BenchDraw.left(run, state.at, BenchMove.go);
		const h = hand(), panel = PANELS.some(([id]) => !$(id).hidden), working = !!h && !run.closed && !panel;
		show("over", !panel && (!h || !!run.closed));
		if (!h || run.closed) drawOver();
		show("work", working);
		document.body.classList.toggle("working", working);
		if (working) drawHand(h);
	}

	function drawOver() {
		const run = state.run, open = BenchDraw.toSeeTo(run).length;
		$("oversays").textContent = run.closed ? "This run has ended" : "No place is left";
		$("overtext").textContent = (open ? `To see to: ${open}; they stand under the list. ` : "Nothing is left. ") + (run.closed ? "" : "End the run under More, or go on with what is left.");
	}

	function drawHand(h) {
		if (h.place && state.at !== h.place.point_id && state.run.first !== "device") state.at = h.place.point_id; // it stays in hand while others write
		BenchDraw.hand(state.run, h);
		BenchDraw.readback(h, state.found);
		show("newplace", !h.place);
		if (!h.type && $("typebox").hidden) askType();
		drawLook(h);
	}

	function askType() {
		if (!$("typed").options.length) $("typed").replaceChildren(make("option", "as the list or the place says", {value: ""}), ...state.pack.types.filter(t => t.name).map(t => make("option", t.name, {value: t.name})));
		show("typebox", true);
	}

	// drawLook shows what is said of what was typed. Without a value to judge there is
	// nothing to type it on; what was typed before stays in sight.
	function drawLook(h = hand()) {
		const g = given(h), looked = BenchLook.look(state.run, g), remarks = BenchTyped.remarks(h, g, looked), type = BenchTyped.typeOf(h, g);
		const digits = type.judged || BenchTyped.samplesTyped().length > 0;
		for (const id of ["looking", "pad"]) show(id, digits);
		BenchDraw.verdict(type, looked.value, remarks.filter(r => !unasked(r)), state.asked);
		document.body.classList.toggle("asking", state.asked);
		$("write").textContent = writes(remarks);
		show("minus", BenchDraw.negative(type));
		drawLookClock();
		$("samples").textContent = [...state.samples, state.typing + "▏"].join(" · ");
		$("samples").scrollLeft = $("samples").scrollWidth; // the latest in sight
		drawBelow();
	}

	// writes is what the button says that it does: how many things are answered by it.
	function writes(remarks) {
		const asked = remarks.filter(r => r.grave === "asked").length;
		if (!state.asked || !asked || remarks.some(r => r.grave === "refused")) return "It is set";
		return asked === 1 ? "It is so: write it down" : `All ${asked} are so: write it down`;
	}

	// drawBelow marks that more is said than is in sight.
	function drawBelow() {
		const v = $("verdict");
		v.classList.toggle("below", v.scrollTop + v.clientHeight < v.scrollHeight - 4);
	}

	// unasked: a remark that waits until somebody says that the device is set, so that
	// nobody is told that something is missing before there was time to type it.
	function unasked({code}) {
		if (state.asked) return false;
		if (BenchTyped.touched()) return code === "serial-missing" || code === BenchTyped.UNREAD;
		return !["done-before", "no-number", "skipped-before"].includes(code);
	}

	// ask shows all that is said before anything is written, and what it is about.
	function ask(h, remarks) {
		state.asked = true;
		drawLook(h);
		$("verdict").scrollTop = 0;
		drawBelow();
		const about = remarks.find(r => r.grave !== "told")?.code ?? "", id = /serial|list/.test(about) ? "serial" : /number|mode/.test(about) ? "readback" : "";
		if (id) $(id).scrollIntoView({block: "nearest", behavior: "instant"});
	}

	// drawLookClock shows the clock of a three-minute look.
	function drawLookClock() {
		const clock = s => `${Math.floor(s / 60)}:${String(Math.floor(s % 60)).padStart(2, "0")}`, most = state.run?.rules.look_seconds ?? 180;
		const gone = state.times.length ? Math.min(most, (now() - state.times[0]) / 1000) : 0;
		$("lookclock").textContent = state.times.length ? `${clock(gone)} of ${clock(most)}` : `look: ${clock(most)}`;
	}

	function drawKept() {
		const mine = state.entries.filter(e => e.state === 0).length, refused = state.entries.filter(e => e.state === 2).length;
		const what = mine === 1 ? "1 entry is" : mine + " entries are", why = state.signedOut ? " This phone may not hand in: sign in or add it again; nothing is lost." : state.online === false ? " No network." : "";
		$("kept").textContent = (mine ? `${what} only on this phone.` : state.pack?.phone === false ? "Each is written at once." : "All is handed in.") + (refused ? ` ${refused} refused by the log: ${state.entries.find(e => e.state === 2).why}` : "") + why;
		$("kept").dataset.open = mine;
	}

	function drawClock() {
		const minutes = Math.round(Math.abs(VisitSync.offset) / 60000);
		show("clock", minutes >= 2);
		$("clock").textContent = `The clock of this phone is ${minutes} minutes ${VisitSync.offset > 0 ? "behind" : "ahead of"} the server’s. What you write is dated by the server’s.`;
	}

	// wrote says what was written, with the button that takes it back.
	function wrote(says) {
		$("wrotewhat").textContent = says;
		$("undo").textContent = "Undo " + says.split(" ")[0];
		show("wrote", true);
	}

	// refold makes the run anew of the pack and what is only here.
	function refold() {
		state.run = BenchRun.of(state.pack, state.entries);
		draw();
	}

	// wrong says why nothing was written.
	const wrong = all => trouble("Not written: " + sentence(all.join("; ")));
	return {PANELS, trouble, wrong, now, draw, drawLook, drawLookClock, drawKept, drawClock, drawBelow, askType, ask, wrote, refold};
})();
