// The capture page: the point at hand, the keypad, and what is still only here.
"use strict";
(() => {
	const $ = id => document.getElementById(id);
	const state = {pack: null, points: new Map(), entries: [], done: null, at: null, mode: "read", slots: [[]], slot: 0, typing: "", asked: false, off: []};
	const site = () => location.hash.slice(1);
	const SLOTS = {read: ["Reading"], cleaned: ["Before", "After"], replaced: ["Reading of the new unit"]};
	const MARKS = {inside: "○ inside", above: "▲ above", below: "▼ below", "no band": "· no band known"};

	function make(tag, text, attributes) {
		const e = Object.assign(document.createElement(tag), attributes);
		e.append(text ?? "");
		return e;
	}
	const show = (id, on) => { $(id).hidden = !on; };
	const figure = x => x === null || x === undefined ? "" : String(Math.round(x * 1000) / 1000);
	const tenth = x => Math.abs(x) < 1 ? figure(x) : String(Math.round(x * 10) / 10);
	const clock = at => new Date(at).toTimeString().slice(0, 5);
	const point = () => state.points.get(state.at);

	// ---- what was done ----

	// works gives what was done at a point in this visit, by anybody, in order: what
	// the server told, and what is only here.
	const works = id => worked().filter(e => e.point === id);

	function worked() {
		const told = new Map((state.done?.done ?? []).map(e => [e.id, {...e, state: 1}]));
		for (const e of state.entries) if (e.visit === state.pack.visit) told.set(e.id, {...told.get(e.id), ...e, by: told.get(e.id)?.by ?? state.pack.by});
		for (const e of state.entries) if (e.kind === "withdrawn" && told.has(e.body.entry)) told.get(e.body.entry).withdrawn = true;
		return [...told.values()].filter(e => !e.withdrawn).sort((a, b) => a.at - b.at || (a.id < b.id ? -1 : 1));
	}

	function stateOf(id, all) {
		// Done is when each work planned here was done, by the server's table of what does it.
		const here = all ?? works(id), planned = state.points.get(id)?.work ?? [];
		if ((planned.length ? planned : [""]).every(work => here.some(e => state.pack.does[work].includes(e.kind)))) return "done";
		return here.some(e => e.kind === "unreached") ? "unreached" : "open";
	}

	// says tells in words what was done: as the server says it, or, while it is only
	// here, in the same words.
	function says(e) {
		if (e.says) return e.says;
		const b = e.body, tail = b.text || b.remark ? ", " + (b.text || b.remark) : "";
		switch (e.kind) {
		case "read": return "read " + b.samples.map(figure).join(" · ") + tail;
		case "tested": return (b.failed ? "tested: failed" : "tested: passed") + tail;
		case "replaced": return "replaced" + (b.serial ? ", serial " + b.serial : "") + tail;
		case "addressed": return "number found " + b.found + tail;
		case "alarm": return "alarm, raised as a test" + tail;
		case "unreached": return "could not be reached" + tail;
		case "disabled": return "disabled" + tail;
		case "restored": return "back in use" + tail;
		case "defect": return "defect: " + [b.nature, b.grade].join(", ") + (b.photo ? ", with photo" : "") + tail;
		case "followed": return "defect followed" + (b.told ? ", told: " + b.told : "") + tail;
		case "mended": return "defect mended" + tail;
		case "retested": return (b.failed ? "retested: failed" : "retested: in order") + tail;
		case "measured": return e.form ? VisitMeters.says(state.pack, e.form) : "measured";
		case "note": return (b.photo ? "photo" : "note") + tail;
		}
		const kind = state.pack?.kinds?.find(k => k.kind === e.kind);
		return (["cleaned", "fault"].includes(e.kind) || !kind ? e.kind : kind.says) + tail;
	}

	// ---- writing ----

	// write keeps what was done here at once, and then tries to hand it in.
	async function write(bodies, photo) {
		if (state.writing) return false; // a second press while the first is on its way to the disk
		state.writing = true;
		try { return await writeDown(bodies, photo); } finally { state.writing = false; }
	}

	async function writeDown(bodies, photo) {
		const last = state.entries.reduce((at, e) => Math.max(at, e.at), state.pack.opened);
		let at = VisitSync.now();
		if (at <= last) at = last + 1; // the clock went back, or two in one millisecond
		const group = VisitStore.newID(at);
		const entries = bodies.map(([kind, body, form], i) => ({
			id: VisitStore.newID(at + i), site: state.pack.site, visit: state.pack.visit, at: at + i, kind, body, group, state: 0,
			...(form ? {form} : {}), ...(kind === "withdrawn" || kind === "measured" ? {} : {point: state.at}),
		}));
		try {
			await VisitStore.keep(entries, photo);
		} catch (error) {
			trouble(VisitStore.notKept(error));
			return false;
		}
		trouble("");
		state.entries.push(...entries);
		setMode("read");
		draw();
		VisitSync.round(site());
		return true;
	}

	// takeBack withdraws all that was written in one go.
	function takeBack(entry) {
		const together = state.entries.filter(e => e.group === entry.group && e.kind !== "withdrawn");
		write((together.length ? together : [entry]).map(e => ["withdrawn", {entry: e.id, why: "taken back on the phone"}]));
	}

	// ---- the keypad ----

	const samplesOf = i => [...state.slots[i], ...(i === state.slot && state.typing !== "" ? [state.typing] : [])].map(Number);
	const ready = samples => samples.length > 0 && samples.every(Number.isFinite);

	function press(key) {
		state.asked = false;
		if (key === "back") {
			if (state.typing !== "") state.typing = state.typing.slice(0, -1);
			else if (state.slots[state.slot].length) state.typing = state.slots[state.slot].pop();
		} else if (key === "more") {
			if (ready([Number(state.typing)]) && state.typing !== "") { state.slots[state.slot].push(state.typing); state.typing = ""; }
		} else if (key === "-") state.typing = state.typing.startsWith("-") ? state.typing.slice(1) : "-" + state.typing;
		else if (key !== "." || !state.typing.includes(".")) { if (state.typing.length < 9) state.typing += key; }
		drawReading();
	}

	function choose(slot) {
		if (state.typing !== "" && Number.isFinite(Number(state.typing))) state.slots[state.slot].push(state.typing);
		state.typing = "";
		state.slot = slot;
		state.asked = false;
		drawReading();
	}

	// verdictOf says in a line where samples lie, and judges them.
	function verdictOf(samples) {
		const p = point(), j = VisitJudge.judge(p, samples);
		let text = MARKS[j.verdict];
		if (samples.length > 1) text += ", middle " + figure(j.value);
		if (j.unsteady) text += ", unsteady: spread " + tenth(j.spread) + ", allowed " + tenth(p.spread);
		if (j.far) text += ", far from the expected " + tenth(p.from) + " to " + tenth(p.to);
		return {...j, text};
	}

	function drawReading() {
		const names = SLOTS[state.mode] ?? [];
		$("slots").replaceChildren(...names.map((name, i) => {
			const shown = [...state.slots[i].map(String), ...(i === state.slot ? [state.typing + "▏"] : [])].join(" · ");
			const slot = make("button", "", {type: "button", className: "slot"});
			slot.append(make("span", name, {className: "quiet"}), make("span", shown || "–", {className: "value"}));
			slot.setAttribute("aria-pressed", String(i === state.slot));
			slot.onclick = () => choose(i);
			return slot;
		}));
		const samples = samplesOf(state.slot), can = ready(samples);
		const j = can && point() ? verdictOf(samples) : null;
		$("verdict").textContent = j ? j.text : "";
		$("verdict").dataset.verdict = j ? j.verdict : "";
		show("again", state.asked);
		$("write").textContent = state.asked ? "It is so: write it down" : finished() ? "Next point ›" : "Write it down";
	}

	function clearEntry() {
		state.slots = (SLOTS[state.mode] ?? [""]).map(() => []);
		state.slot = 0;
		state.typing = "";
		state.asked = false;
		state.photo = null;
		$("defectphoto").textContent = "Photo of it";
		for (const id of ["serial", "setnumber", "words", "failwords", "defecttext", "nature", "grade"]) $(id).value = "";
		drawReading();
	}

	// finished: this point is seen and nothing more is typed, so that the one large
	// button leads on.
	const finished = () => state.mode === "read" && point() !== undefined && !samplesOf(0).length && stateOf(state.at) !== "open";

	// bodies are the entries that the form asks for; empty when there is nothing yet.
	function bodies() {
		const reading = i => { const samples = samplesOf(i); return ready(samples) ? [["read", {samples}]] : []; };
		switch (state.mode) {
		case "read": return reading(0);
		case "cleaned": return [...reading(0), ["cleaned", {}], ...reading(1)];
		case "replaced": {
			const serial = $("serial").value.trim(), number = Number($("setnumber").value);
			return [["replaced", serial ? {serial} : {}], ...(Number.isInteger(number) && number > 0 && number < 10000 ? [["addressed", {found: number}]] : []), ...reading(0)];
		}
		}
		return [];
	}

	// submit asks again where a value is far from what is expected, or jumps about.
	function submit() {
		if (finished()) return step(1);
		const what = bodies(), looks = what.filter(([kind]) => kind === "read").map(([, b]) => VisitJudge.judge(point(), b.samples));
		if (!what.length) return trouble("Type what the setter shows first.");
		const swap = state.mode === "replaced" ? VisitSwap.look(point(), [...state.points.values()], state.entries.filter(e => e.visit === state.pack.visit), $("serial").value.trim(), Number($("setnumber").value)) : [];
		const refused = swap.filter(r => r.grave === "refused");
		if (refused.length) return trouble(refused.map(r => r.text).join(" "));
		if (swap.length && !state.asked) {
			state.asked = true;
			trouble(swap.map(r => r.text).join(" "));
			return drawReading();
		}
		const expected = state.mode === "read"; // after cleaning or another unit nothing is expected yet
		if (!state.asked && looks.some((j, i) => j.unsteady || j.far && (expected || state.mode === "cleaned" && i === 0 && what[0][0] === "read"))) {
			state.asked = true;
			trouble("");
			return drawReading();
		}
		write(what);
	}

	// ---- drawing ----

	function trouble(text) {
		$("trouble").textContent = text;
		show("trouble", text !== "");
	}

	function draw() {
		drawKept();
		if (!state.pack || !point()) return;
		const p = point(), here = works(p.id), round = state.pack.round, turn = round.indexOf(p.id);
		$("site").textContent = state.pack.name;
		$("turn").textContent = (turn < 0 ? "not on the round" : `${turn + 1} of ${round.length}`) + `, ${round.filter(id => stateOf(id) === "done").length} done`;
		$("number").textContent = p.number ? String(p.number).padStart(3, "0") : "–";
		$("ref").textContent = p.ref;
		$("where").textContent = p.where || "no place written down";
		$("type").textContent = [p.type, p.tasks.length ? "to do: " + p.tasks.map(text => text.split(",")[0]).join(", ") : ""].filter(Boolean).join(" · ");
		$("tasks").replaceChildren(...p.tasks.map(text => make("li", text)));
		$("band").textContent = bandLine(p);
		show("cardbox", !!p.picture);
		drawCard(p.picture);
		drawDone(here);
		drawMeters(p);
		drawDefects(VisitDefects.at(p.defects ?? [], here));
		drawReading();
		if (!$("all").hidden) drawStops();
	}

	// drawCard puts the picture of a setting card in its place. What is not a picture
	// by itself is not shown.
	function drawCard(picture) {
		const drawn = picture ? new DOMParser().parseFromString(picture, "image/svg+xml").documentElement : null;
		$("card").replaceChildren(...(drawn?.localName === "svg" ? [document.importNode(drawn, true)] : []));
	}

	function bandLine(p) {
		if (!p.judged) return "It has no resting value to judge.";
		const unit = p.unit ? " " + p.unit : "", parts = [];
		if (p.low !== null && p.high !== null) parts.push(`Band ${figure(p.low)} to ${figure(p.high)}${unit}`);
		else parts.push(p.low !== null ? `Band from ${figure(p.low)}${unit}` : p.high !== null ? `Band up to ${figure(p.high)}${unit}` : "No band known");
		if (p.value !== null) parts.push(`expected ${tenth(p.from)} to ${tenth(p.to)}`);
		if (p.last.length) parts.push("before: " + p.last.map(l => `${figure(l.value)} on ${l.day}`).join(", "));
		return parts.join(" · ");
	}

	// drawMeters offers the loops, the point's own first, and tells what was measured in this visit.
	function drawMeters(p) {
		const loops = state.pack.loops ?? [];
		show("meters", loops.length > 0);
		if ($("meterloop").dataset.visit !== state.pack.visit) {
			$("meterloop").dataset.visit = state.pack.visit;
			$("meterloop").replaceChildren(...loops.map(l => make("option", l.ref, {value: l.ref})));
		}
		if (!$("meters").open) $("meterloop").value = loops.find(l => p.ref.startsWith(l.ref + "."))?.ref ?? loops[0]?.ref ?? "";
		VisitMeters.draw($("meterfields"), state.pack, make);
		drawLines("metersdone", worked().filter(e => e.kind === "measured"), new Set());
	}

	async function writeMeasured() {
		const loop = (state.pack.loops ?? []).find(l => l.ref === $("meterloop").value);
		let form;
		try { form = VisitMeters.form(state.pack, loop, VisitMeters.typed($("meterfields"))); } catch (error) { return trouble(error.message); }
		if (await write([["measured", {panel: loop.panel, loop: loop.loop}, form]])) VisitMeters.clear($("meterfields"));
	}

	function drawDone(here) {
		const differ = new Set((state.done?.differences ?? []).flatMap(d => d.entries));
		show("differ", here.some(e => differ.has(e.id)));
		drawLines("done", here, differ);
	}

	function drawLines(id, all, differ) {
		$(id).replaceChildren(...all.map(e => {
			const mine = e.visit !== undefined || e.station === state.pack.station;
			const line = make("li", `${e.day ? "" : clock(e.at) + " "}${says(e)}`);
			line.append(make("span", [mine ? "" : e.by, mine ? "" : e.station, e.state === 0 ? "only on this phone" : "", e.state === 2 ? "REFUSED: " + e.why : ""].filter(Boolean).join(", "), {className: "quiet"}));
			if (differ.has(e.id)) line.append(make("strong", "another station says something else", {className: "differs"}));
			if (mine) line.append(make("button", "Undo", {type: "button", className: "undo", onclick: () => takeBack(e)}));
			return line;
		}));
	}

	// drawDefects lists what is wrong here, each with its next step.
	function drawDefects(all) {
		show("wrong", all.length > 0);
		$("defects").replaceChildren(...all.map(d => {
			const line = make("details"), head = make("summary", `${VisitDefects.says(d)} (${d.grade})`), steps = make("span", "", {className: "steps"});
			head.append(make("span", [d.since ? "since " + d.since : "", d.state === "mended" ? "mended, not tried again yet" : "", d.needs ? "needs " + d.needs : ""].filter(Boolean).join(", "), {className: "quiet"}));
			const offer = (says, kind, body) => steps.append(make("button", says, {type: "button", onclick: () => stepOf(d, kind, body, line.querySelector("input"))}));
			if (d.state === "open") offer("It was mended", "mended", {});
			offer("In order again", "retested", {});
			offer("Still not", "retested", {failed: true});
			const words = make("label", "What was done, in words "), text = make("input", "", {autocomplete: "off"});
			words.append(text);
			line.append(head, words, steps);
			return line;
		}));
	}

	// stepOf writes a step of a defect. In order again, although nobody wrote down that it
	// was mended, is taken only with what was seen: the other faces ask there too.
	function stepOf(d, kind, body, input) {
		const text = input.value.trim();
		if (kind === "retested" && !body.failed && d.state === "open" && !text)
			return trouble("Nobody wrote down that this was mended: say in words what was seen, or write that it was mended.");
		return write([[kind, {defect: d.id, ...body, ...(text ? {text} : {})}]]);
	}

	function drawKept() {
		const open = state.entries.filter(e => e.state === 0).length, refused = state.entries.filter(e => e.state === 2).length;
		const what = open === 1 ? "1 entry is" : open + " entries are";
		const why = state.signedOut ? " This phone may not hand in: sign in or add it again; nothing is lost." : state.online === false ? " No network." : "";
		$("kept").textContent = (open ? `${what} only on this phone.` : "All is handed in.") + (refused ? ` ${refused} refused by the log.` : "") + why;
		$("kept").dataset.open = open;
	}

	function drawStops() {
		const marks = {done: "●", unreached: "✕", open: "○"}, differ = new Set((state.done?.differences ?? []).map(d => d.point));
		$("stops").replaceChildren(...state.pack.round.map(id => {
			const p = state.points.get(id), b = make("button", `${differ.has(id) ? "≠" : marks[stateOf(id)]} ${p.ref} ${p.where}`, {type: "button", onclick: () => go(id)});
			if (id === state.at) b.setAttribute("aria-current", "true");
			const li = make("li");
			li.append(b);
			return li;
		}));
	}

	function drawOff() {
		const off = state.done?.off ?? [];
		show("off", off.length > 0);
		show("offcount", off.length > 0);
		$("offcount").textContent = off.length + " out of use";
		$("off").textContent = off.length ? `Still out of use (${off.length}): ${off.slice(0, 4).join("; ")}${off.length > 4 ? " and more" : ""}` : "";
	}

	// drawUnlike says what the panel told of activations that the register has otherwise, the last first.
	function drawUnlike() {
		const all = state.done?.unlike ?? [], most = 3;
		show("unlike", all.length > 0);
		$("unlike").textContent = all.length ? `The panel says otherwise (${all.length}): ` + all.slice(0, most).map(u => `${u.ref}: ${u.says}`).join("; ") + (all.length > most ? " and more" : "") : "";
	}

	function drawClock(moved) {
		const minutes = Math.round(Math.abs(VisitSync.offset) / 60000);
		if (minutes < 2) return show("clock", false);
		const span = minutes < 120 ? minutes + " minutes" : minutes < 2880 ? Math.round(minutes / 60) + " hours" : Math.round(minutes / 1440) + " days";
		$("clock").textContent = `The clock of this phone is ${span} ${VisitSync.offset > 0 ? "behind" : "ahead of"} the server’s. What you write is dated by the server’s.` +
			(moved && state.entries.some(e => e.state === 0) ? " It was changed since: look at the times of what was only here." : "");
		show("clock", true);
	}

	// ---- moving about ----

	function go(id) {
		if (!state.points.has(id)) return;
		state.at = id;
		VisitStore.put("facts", id, "at:" + state.pack.site).catch(() => {}); // where one was is a convenience
		for (const [panel, button] of [["finder", "jump"], ["all", "list"]]) { show(panel, false); $(button).setAttribute("aria-expanded", "false"); }
		VisitScan.stop();
		setMode(point().judged ? "read" : "tested");
		draw();
		$("round").scrollIntoView({behavior: "instant"});
	}

	function step(by) {
		const round = state.pack.round, at = round.indexOf(state.at);
		if (round.length) go(round[(at < 0 ? 0 : at + by + round.length) % round.length]);
	}

	// named finds the points that a text means: the id in a label, a whole reference,
	// or a number, which several loops may share.
	function named(text) {
		const id = text.match(/[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}/g)?.find(id => state.points.has(id));
		if (id) return [state.points.get(id)];
		const plain = text.trim().replace(/(^|\.)0+(?=\d)/g, "$1"), all = [...state.points.values()];
		const exact = all.filter(p => p.ref.replace(/(^|\.)0+(?=\d)/g, "$1") === plain);
		return exact.length ? exact : all.filter(p => /^\d+$/.test(plain) && p.number === Number(plain) || p.ref.replace(/(^|\.)0+(?=\d)/g, "$1").endsWith("." + plain));
	}

	function jumpTo(text) {
		const found = named(text);
		if (found.length === 1) return go(found[0].id);
		$("found").replaceChildren(...(found.length ? found.slice(0, 20).map(p => make("button", `${p.ref} ${p.where}`, {type: "button", onclick: () => go(p.id)})) : [make("p", `No point is called ${text}.`)]));
	}

	function setMode(mode) {
		state.mode = mode;
		for (const b of $("modes").children) b.setAttribute("aria-pressed", String(b.dataset.mode === mode));
		for (const name of ["replaced", "more", "tested", "defect"]) document.querySelector(".of-" + name).hidden = mode !== name;
		document.querySelector(".of-read").hidden = !SLOTS[mode];
		$("cardbox").open = mode === "replaced"; // how the new unit is set
		trouble("");
		clearEntry();
	}

	// ---- photo ----

	// pictured makes a small JPEG of any picture, with the hash that names it.
	async function pictured(file) {
		const MOST = 1280, image = await createImageBitmap(file), scale = Math.min(1, MOST / Math.max(image.width, image.height));
		const canvas = Object.assign(document.createElement("canvas"), {width: Math.round(image.width * scale), height: Math.round(image.height * scale)});
		canvas.getContext("2d").drawImage(image, 0, 0, canvas.width, canvas.height);
		const blob = await new Promise(done => canvas.toBlob(done, "image/jpeg", 0.7));
		const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", await blob.arrayBuffer()));
		return {hash: [...sum].map(x => x.toString(16).padStart(2, "0")).join(""), blob};
	}

	async function takePhoto(file) {
		const photo = await pictured(file), text = $("words").value.trim();
		await write([["note", {text, photo: photo.hash}]], photo);
	}

	// ---- defects ----

	async function keepForDefect(file) {
		state.photo = await pictured(file);
		$("defectphoto").textContent = "Another photo (one is taken)";
	}

	function writeDefect() {
		const text = $("defecttext").value.trim(), photo = state.photo;
		if (!$("nature").value || !$("grade").value) return trouble("Choose what is wrong, and how grave it is.");
		if (!text && !photo) return trouble("Say what is seen, or take a photo of it.");
		return write([["defect", {nature: $("nature").value, grade: $("grade").value, ...(text ? {text} : {}), ...(photo ? {photo: photo.hash} : {})}]], photo ?? undefined);
	}

	function act(what) {
		const text = $("words").value.trim(), said = text ? {text} : {};
		if (what === "passed") return write([["tested", {}]]);
		if (what === "failed") { const why = $("failwords").value.trim(); return write([["tested", {failed: true, ...(why ? {text: why} : {})}]]); }
		if (what === "defect") return writeDefect();
		if (what === "measured") return writeMeasured();
		if (what === "note" && !text) return trouble("Write the remark first.");
		return write([[what, what === "note" ? {text} : said]]);
	}

	// ---- beginning ----

	function heard(news) {
		if (news.done) {
			state.done = news.done;
			drawOff();
			drawUnlike();
			if (state.pack && news.done.visit !== state.pack.visit) trouble("This visit is closed, or another was opened. What you wrote is handed in all the same; load the page again for what is open now.");
		}
		if (news.offset !== undefined) drawClock(news.moved);
		if (news.online !== undefined) Object.assign(state, {online: news.online, signedOut: news.signedOut});
		if (news.photosWait) trouble(news.photosWait);
		if (news.noWorker) trouble("This browser keeps no pages: without network this page works only while it stays open.");
		if (news.handed !== undefined || news.done) return reload();
		drawKept();
	}

	async function reload() {
		state.entries = await VisitStore.all("entries");
		draw();
	}

	async function begin() {
		try { state.entries = await VisitStore.all("entries"); } catch (error) {
			trouble("This browser gives no storage (" + (error?.name ?? error) + "): nothing can be captured here.");
			return;
		}
		if (!site()) {
			const packs = await VisitStore.all("packs");
			if (packs.length === 1) history.replaceState(null, "", "#" + packs[0].site);
			else $("kepthere").replaceChildren(...packs.map(p => { const a = make("a", p.name, {href: "#" + p.site, className: "button"}); return a; }));
		}
		await VisitSync.start(site, heard);
		state.pack = site() ? await VisitStore.get("packs", site()) ?? null : null;
		state.done = site() ? await VisitStore.get("done", site()) ?? null : null;
		await arrive();
		if (site()) await refresh();
		VisitSync.round(site());
	}

	// refresh fetches the visit anew; where that fails, what is here goes on.
	async function refresh() {
		try {
			const pack = await VisitSync.fetchPack(site());
			state.pack = pack;
			await reload();
			await arrive();
		} catch (error) {
			if (error.status === 404 && state.pack) trouble("No visit is open on this site any more. What you wrote is handed in all the same.");
			else if (error.name === "QuotaExceededError") trouble("The storage of this phone is full: the visit could not be taken along.");
		}
	}

	async function arrive() {
		show("none", !state.pack);
		show("round", !!state.pack);
		drawKept();
		drawOff();
		drawUnlike();
		drawClock();
		if (!state.pack) return;
		state.points = new Map(state.pack.points.map(p => [p.id, p]));
		const was = await VisitStore.get("facts", "at:" + state.pack.site);
		if (!point()) state.at = state.points.has(was) ? was : state.pack.round.find(id => stateOf(id) === "open") ?? state.pack.points[0]?.id;
		draw();
	}

	$("pad").addEventListener("click", event => { const key = event.target.closest("button")?.dataset.key; if (key) press(key); });
	addEventListener("keydown", event => {
		if (event.target.matches("input, textarea, select") || event.ctrlKey || event.metaKey || !SLOTS[state.mode]) return;
		const key = {Backspace: "back", ",": ".", " ": "more"}[event.key] ?? event.key;
		if (/^[0-9.]$|^back$|^-$/.test(key) || key === "more" && !event.target.matches("button, summary, a")) { press(key); event.preventDefault(); }
	});
	$("entry").addEventListener("submit", event => { event.preventDefault(); submit(); });
	for (const id of ["serial", "setnumber"]) $(id).oninput = () => { state.asked = false; drawReading(); };
	$("again").onclick = () => clearEntry();
	$("modes").addEventListener("click", event => { const mode = event.target.dataset.mode; if (mode) setMode(mode); });
	$("entry").addEventListener("click", event => { const what = event.target.dataset.do; if (what) act(what); });
	$("photo").onchange = event => { const file = event.target.files[0]; event.target.value = ""; if (file) takePhoto(file).catch(error => trouble("This picture could not be read (" + error.name + ").")); };
	$("defectpicture").onchange = event => { const file = event.target.files[0]; event.target.value = ""; if (file) keepForDefect(file).catch(error => trouble("This picture could not be read (" + error.name + ").")); };
	$("back").onclick = () => step(-1);
	$("next").onclick = () => step(1);
	for (const [panel, button] of [["finder", "jump"], ["all", "list"]]) {
		$(button).onclick = () => {
			show(panel, $(panel).hidden);
			$(button).setAttribute("aria-expanded", String(!$(panel).hidden));
			if (panel === "all" && !$(panel).hidden) drawStops();
			if (panel === "finder") { show("scan", VisitScan.able()); $("finder").hidden ? VisitScan.stop() : $("wanted").focus(); }
		};
	}
	$("byname").addEventListener("submit", event => { event.preventDefault(); jumpTo($("wanted").value); });
	$("scan").onclick = () => VisitScan.scan($("camera")).then(text => text && jumpTo(text)).catch(error => trouble("The camera cannot be used (" + error.name + "): type the number."));
	addEventListener("hashchange", () => location.reload());
	$("look").onclick = () => setLook({light: "dark", dark: "light"}[document.documentElement.dataset.look] ?? (matchMedia("(prefers-color-scheme: dark)").matches ? "light" : "dark"));
	function setLook(look) {
		if (look) document.documentElement.dataset.look = look;
		try { if (look) localStorage.setItem("look", look); } catch { /* a look that is not kept is no loss */ }
	}
	try { setLook(localStorage.getItem("look")); } catch { /* as above */ }
	begin();
})();
