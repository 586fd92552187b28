// The page of a run at the bench: what is in hand, what is typed of it, and what
// becomes of it. It goes on without network where it was opened once.
"use strict";
(() => {
	const {$, show, make} = BenchDraw;
	const [, , siteID, , runID] = location.pathname.split("/");
	const state = {pack: null, entries: [], run: null, at: null, found: new Map(), samples: [], typing: "", times: [], asked: false, fromBack: false, newPlace: false, writing: false, ending: false};
	const key = "bench:" + runID;

	const trouble = text => { $("trouble").textContent = text; show("trouble", text !== ""); };
	const now = () => VisitSync.now();

	// ---- what is in hand ----

	// hand is what was taken in hand, else what comes next.
	function hand() {
		const run = state.run, typed = {serial: $("serial").value.trim(), type: $("typed").value};
		if (state.newPlace) return run.handNew(typed);
		if (state.at && run.place(state.at)) return run.handAt(run.place(state.at));
		if (typed.serial && (run.first === "device" || !run.places.length)) return run.handOf(typed);
		return run.hand(state.fromBack);
	}

	// given is what was typed of the device in hand.
	function given(h) {
		const samples = [...state.samples, ...(state.typing === "" ? [] : [state.typing])].map(Number).filter(Number.isFinite);
		const number = state.found.get("number"), modes = new Map();
		for (const m of h.modes) {
			const f = state.found.get(m.name);
			if (f?.state === "so") modes.set(m.name, m.choice);
			if (f?.state === "other" && f.text?.trim()) modes.set(m.name, f.text.trim());
		}
		const read = number?.state === "so" ? h.number : number?.state === "other" ? Number.parseInt(number.text, 10) || 0 : 0;
		const seconds = state.times.length > 1 ? Math.max(0, state.times.at(-1) - state.times[0]) / 1000 : 0;
		return {
			point: h.place?.point_id ?? "", serial: $("serial").value.trim(), type: $("typed").value, number: h.place ? 0 : h.number, read, modes: Object.fromEntries(modes), samples, seconds,
			location: h.place ? "" : $("location").value.trim(), area: h.place ? "" : $("area").value.trim(),
		};
	}

	const touched = () => $("serial").value.trim() !== "" || state.typing !== "" || state.samples.length > 0 || state.found.size > 0;

	function clear() {
		Object.assign(state, {at: null, found: new Map(), samples: [], typing: "", times: [], asked: false, newPlace: false});
		for (const id of ["serial", "typed", "location", "area", "why"]) $(id).value = "";
		show("typebox", false);
	}

	// ---- drawing ----

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
		BenchDraw.differ(run, undo);
		if (!$("all").hidden) BenchDraw.left(run, state.at, go);
		const h = hand();
		show("over", !h || !!run.closed);
		if (!h || run.closed) drawOver();
		const panel = ["all", "menu"].some(id => !$(id).hidden);
		show("work", !!h && !run.closed && !panel);
		if (h && !run.closed) drawHand(h);
	}

	function drawOver() {
		const run = state.run, open = BenchLeft.left(run).filter(l => !["rejected", "unused", "listed"].includes(l.kind)).length;
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

	function drawLook(h = hand()) {
		const samples = [...state.samples, state.typing + "▏"].join(" · "), looked = BenchLook.look(state.run, given(h));
		$("samples").textContent = samples;
		$("samples").scrollLeft = $("samples").scrollWidth; // the latest in sight
		BenchDraw.verdict(state.run, h, looked, new Set(state.asked ? [] : touched() ? ["serial-missing"] : looked.remarks.filter(r => r.code !== "done-before" && r.code !== "no-number" && r.code !== "skipped-before").map(r => r.code)));
		$("write").textContent = state.asked ? "It is so: write it down" : "It is set";
		show("minus", BenchDraw.negative(state.run.typed(h.type)));
		drawLookClock();
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

	// ---- writing ----

	// write has something written, keeps it in what is shown, and asks the server.
	async function write(work, says) {
		if (state.writing) return false;
		state.writing = true;
		try {
			const made = await work(BenchWrite.hands(state.run, state.entries));
			if (Array.isArray(made)) state.entries.push(...made);
			else take(made);
			trouble("");
			if (says) {
				$("wrotewhat").textContent = says;
				$("undo").textContent = "Undo " + says.split(" ")[0];
				show("wrote", true);
			}
			return true;
		} catch (error) {
			trouble(error.why || (error.message === "signed out" ? "Nobody is signed in here: sign in, and do it again. What you typed is still there." : "The server could not be reached, and this device hands nothing in later: do it again. What you typed is still there."));
			return false;
		} finally {
			state.writing = false;
			if (state.pack) refold();
		}
	}

	// refold makes the run anew of the pack and what is only here.
	function refold() {
		state.run = BenchRun.of(state.pack, state.entries);
		draw();
	}

	async function submit() {
		const h = hand();
		if (!h) return;
		const g = given(h), looked = BenchLook.look(state.run, g), of = grave => looked.remarks.filter(r => r.grave === grave);
		if (of("refused").length) return trouble(of("refused").map(r => BenchDraw.sentence(r.text)).join(" "));
		trouble("");
		if (of("asked").length && !state.asked) { state.asked = true; return drawLook(h); }
		if (!await write(w => w.done(g, looked), `${BenchRun.padded(looked.number)} is set.`)) return;
		clear();
		next();
	}

	function next() {
		draw();
		scrollTo({top: 0, behavior: "instant"});
		if (matchMedia("(pointer: fine)").matches) $("serial").focus();
		VisitSync.round(siteID);
	}

	const mine = rec => rec.by === state.pack.by && BenchDraw.undoable(state.run, rec);
	const undo = async rec => { if (rec && await write(w => w.undo(rec), "")) { show("wrote", false); next(); } };
	const undoLast = () => { const rec = state.run.records.filter(mine).at(-1); return rec ? undo(rec) : trouble("Nothing of yours is there to take back."); };

	async function skip() {
		const h = hand(), why = $("why").value.trim();
		if (!h?.place) return trouble("No place is in hand that could be skipped.");
		if (h.place.done.length) return trouble(`${BenchRun.nameOf(h.place)} has its device already.`);
		if (await write(w => w.skip(h.place.point_id, why), `${BenchRun.nameOf(h.place)} is skipped for now.`)) { clear(); close(); next(); }
	}

	async function reject() {
		const h = hand(), why = $("why").value.trim(), g = h ? given(h) : {serial: $("serial").value.trim(), type: ""};
		if (!why) return trouble("Say why, in a word: a rejected device has a reason.");
		if (await write(w => w.reject(h?.place?.point_id ?? "", {...g, type: g.type || h?.type || ""}, why), `${g.serial || "The device"} is put aside.`)) {
			const at = state.at;
			clear();
			state.at = at; // its place is still in hand
			close();
			next();
		}
	}

	async function end() {
		const left = BenchLeft.left(state.run).filter(l => !["rejected", "unused", "listed"].includes(l.kind)).length;
		if (state.entries.some(e => e.state === 0)) return trouble("Some of it is only on this phone: hand it in first, with a network.");
		if (left && !state.ending) { state.ending = true; return trouble(`Left in this run: ${left}. Press once more to end it all the same: they stay listed.`); }
		state.ending = false;
		await write(() => BenchWrite.end(state.run, left > 0), "");
		close();
	}

	// ---- the keypad ----

	function press(k) {
		state.asked = false;
		if (k === "back") {
			if (state.typing !== "") state.typing = state.typing.slice(0, -1);
			else if (state.samples.length) state.typing = state.samples.pop();
			state.times.length = Math.min(state.times.length, state.samples.length + (state.typing === "" ? 0 : 1));
		} else if (k === "more") {
			if (state.typing !== "" && Number.isFinite(Number(state.typing))) { state.samples.push(state.typing); state.typing = ""; }
		} else {
			if (state.typing === "") state.times = [...state.times.slice(0, state.samples.length), now()];
			if (k === "-") state.typing = state.typing.startsWith("-") ? state.typing.slice(1) : "-" + state.typing;
			else if ((k !== "." || !state.typing.includes(".")) && state.typing.length < 9) state.typing += k;
		}
		drawLook();
	}

	// tap turns what was found of one thing: so, otherwise, not looked at; or all so.
	function tap(value) {
		const h = hand();
		state.asked = false;
		if (value === "all") for (const name of ["number", ...h.modes.map(m => m.name)]) { if (!state.found.has(name)) state.found.set(name, {state: "so"}); }
		else {
			const name = value.slice(3), turn = {"": "so", so: "other", other: ""}[state.found.get(name)?.state ?? ""];
			if (turn) state.found.set(name, {state: turn, text: ""}); else state.found.delete(name);
		}
		BenchDraw.readback(h, state.found);
		BenchDraw.otherwise(state.run, h, state.found);
		drawLook(h);
	}

	function say(name, text) {
		state.found.set(name, {state: "other", text});
		state.asked = false;
		drawLook();
	}

	function askType() {
		if (!$("typed").options.length) $("typed").replaceChildren(make("option", "as the list or the place says", {value: ""}), ...state.pack.types.filter(t => t.name).map(t => make("option", t.name, {value: t.name})));
		show("typebox", true);
	}

	// ---- moving about ----

	function close() { for (const [panel, button] of PANELS) { show(panel, false); $(button).setAttribute("aria-expanded", "false"); } VisitScan.stop(); }
	const PANELS = [["all", "list"], ["menu", "more"]];

	function toggle(panel, button) {
		const open = $(panel).hidden;
		close();
		show(panel, open);
		$(button).setAttribute("aria-expanded", String(open));
		state.ending = false;
		trouble("");
		draw();
	}

	function go(id) {
		const serial = $("serial").value;
		state.found = new Map();
		Object.assign(state, {at: id, newPlace: false, asked: false});
		$("serial").value = serial; // the device in the hand stays
		close();
		draw();
	}

	function jumpTo(text) {
		const plain = text.trim().toLowerCase(), id = text.match(/[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}/g)?.find(x => state.run.place(x)), places = state.run.places;
		const found = id ? [state.run.place(id)] : /^\d+$/.test(plain) ? places.filter(p => p.number === Number(plain)) : places.filter(p => [BenchRun.nameOf(p), p.location, p.area, p.unit].some(x => x?.toLowerCase().includes(plain)));
		if (found.length === 1) return go(found[0].point_id);
		$("found").replaceChildren(...(found.length ? found.slice(0, 20).map(p => make("button", `${BenchRun.nameOf(p)} ${p.location || p.area}`, {type: "button", onclick: () => go(p.point_id)})) : [make("p", `No place of this run is called ${text}.`)]));
	}

	function act(what) {
		switch (what) {
		case "skip": return skip();
		case "reject": return reject();
		case "undo": close(); return undoLast();
		case "end": return end();
		case "newplace": state.newPlace = true; state.at = null; close(); return draw();
		case "othertype": close(); draw(); return askType();
		case "back": {
			state.fromBack = !state.fromBack;
			state.at = null;
			document.querySelector("[data-do=back]").setAttribute("aria-pressed", String(state.fromBack));
			VisitStore.put("facts", state.fromBack, key + ":back").catch(() => {}); // a convenience
			close();
			return draw();
		}
		}
	}

	// ---- with the server ----

	// take keeps a run as the server told it; without cards where this device has them.
	function take(pack) {
		const cards = new Map((state.pack?.places ?? []).map(p => [p.point_id + p.number, p.card])), next = new Map((state.pack?.next ?? []).map(n => [n.type + "/" + n.number, n.card]));
		for (const p of pack.places) p.card ||= cards.get(p.point_id + p.number) ?? "";
		for (const n of pack.next) n.card ||= next.get(n.type + "/" + n.number) ?? "";
		state.pack = pack;
	}

	async function learn() {
		const short = state.pack && !state.pack.places.some(p => !p.card) ? "?without=cards" : "";
		const pack = await VisitSync.ask(`/site/${siteID}/bench/${runID}/pack${short}`);
		await VisitSync.learnBook(pack.book);
		const other = othersPlace(pack);
		take(pack);
		state.entries = (await VisitStore.all("entries")).filter(e => e.run === runID);
		refold();
		if (other) trouble(other);
		try { await VisitStore.put("facts", state.pack, key); } catch (error) { trouble("The storage of this device is full: the run could not be taken along. With a network it goes on."); }
		navigator.storage?.persist?.();
	}

	// othersPlace: somebody else set the place that is in hand. Where nothing was typed yet
	// the next one is taken in hand; else what was typed stays, and is told of.
	function othersPlace(pack) {
		const mineNow = state.at, was = state.run?.place(mineNow), set = pack.done.find(d => d.point_id === mineNow && d.outcome === "done");
		if (!was || was.done.length || !set || mine(set) && set.station === pack.station) return "";
		if (touched()) return `${set.by} set ${BenchRun.nameOf(was)} meanwhile. What you typed is still there: put it right, or jump to another place.`;
		state.at = null;
		return "";
	}

	function heard(news) {
		if (news.offset !== undefined) drawClock();
		if (news.online !== undefined) Object.assign(state, {online: news.online, signedOut: news.signedOut});
		if (news.status === 404) trouble("The book has no such run.");
		if (news.noWorker) trouble("This browser keeps no pages: without network this page works only while it stays open.");
		drawKept();
	}

	async function begin() {
		try { state.entries = (await VisitStore.all("entries")).filter(e => e.run === runID); } catch (error) {
			return trouble("This browser gives no storage (" + (error?.name ?? error) + "): the run needs a network all the time, and another browser is better.");
		}
		state.pack = await VisitStore.get("facts", key) ?? null;
		state.fromBack = await VisitStore.get("facts", key + ":back") ?? false;
		document.querySelector("[data-do=back]").setAttribute("aria-pressed", String(state.fromBack));
		$("out").href = `/site/${siteID}/bench`;
		for (const paper of ["labels", "bench"]) $(paper === "bench" ? "paper" : paper).href = `/site/${siteID}/paper/${paper}.pdf?run=${runID}`;
		if (state.pack) refold();
		await VisitSync.start(() => siteID, heard, learn);
		await VisitSync.round(siteID);
		draw();
	}

	$("pad").addEventListener("click", event => { const k = event.target.closest("button")?.dataset.key; if (k) press(k); });
	document.querySelector(".samples").addEventListener("click", event => { const k = event.target.closest("button")?.dataset.key; if (k) press(k); });
	$("readback").addEventListener("click", event => { const b = event.target.closest("button"); if (b) tap(b.value); });
	$("otherwise").addEventListener("input", event => say(event.target.dataset.of, event.target.value));
	$("otherwise").addEventListener("click", event => { const b = event.target.closest("button"); if (b) { b.parentElement.querySelector("input").value = b.value; say(b.dataset.of, b.value); } });
	$("serial").addEventListener("input", () => { state.asked = false; state.run?.first === "device" || !state.run?.places.length ? draw() : drawLook(); });
	$("serial").addEventListener("keydown", event => { if (event.key === "Enter") { event.preventDefault(); event.target.blur(); } });
	$("typed").addEventListener("change", () => { state.asked = false; draw(); });
	$("entry").addEventListener("submit", event => { event.preventDefault(); submit(); });
	$("menu").addEventListener("click", event => { const what = event.target.closest("button")?.dataset.do; if (what) act(what); });
	$("undo").onclick = undoLast;
	for (const [panel, button] of PANELS) $(button).onclick = () => toggle(panel, button);
	$("byname").addEventListener("submit", event => { event.preventDefault(); jumpTo($("wanted").value); });
	$("scan").onclick = () => VisitScan.scan($("camera")).then(text => { if (text) { $("serial").value = text.trim(); $("serial").dispatchEvent(new Event("input")); } }).catch(error => trouble("The camera cannot be used (" + error.name + "): type the serial."));
	addEventListener("keydown", event => {
		if (event.target.matches("input, textarea, select, button, a, summary") || event.ctrlKey || event.metaKey || $("work").hidden) return;
		const k = {Backspace: "back", ",": ".", " ": "more"}[event.key] ?? event.key;
		if (/^[0-9.]$|^back$|^-$|^more$/.test(k)) { press(k); event.preventDefault(); }
		if (k === "Enter") submit();
	});
	setInterval(() => state.run && !$("work").hidden && state.times.length && drawLookClock(), 1000);
	$("look").onclick = () => setLook({light: "dark", dark: "light"}[document.documentElement.dataset.look] ?? (matchMedia("(prefers-color-scheme: dark)").matches ? "light" : "dark"));
	function setLook(look) {
		if (look) document.documentElement.dataset.look = look;
		try { if (look) localStorage.setItem("look", look); } catch { /* a look that is not kept is no loss */ }
	}
	try { setLook(localStorage.getItem("look")); } catch { /* as above */ }
	begin();
})();
