// The page of a run at the bench: it begins here, and here its buttons are tied to what
// they do. It goes on without network where it was opened once.
"use strict";
(() => {
	const {$} = BenchDraw, {state, siteID, runID} = BenchTyped;

	function act(what) {
		switch (what) {
		case "skip": return BenchDeeds.skip();
		case "reject": return BenchDeeds.reject();
		case "undo": BenchMove.close(); return BenchDeeds.undoLast();
		case "end": return BenchDeeds.end();
		case "newplace": return BenchMove.newPlace();
		case "othertype": BenchMove.close(); BenchShow.draw(); return BenchShow.askType();
		case "back": return BenchMove.fromBack();
		}
	}

	async function begin() {
		try { state.entries = await BenchTold.entries(); } catch (error) {
			return BenchShow.trouble("This browser gives no storage (" + (error?.name ?? error) + "): the run needs a network all the time, and another browser is better.");
		}
		state.pack = await VisitStore.get("facts", "bench:" + runID) ?? null;
		state.fromBack = await VisitStore.get("facts", `bench:${runID}:back`) ?? false;
		BenchMove.tellFromBack();
		$("out").href = `/site/${siteID}/bench`;
		for (const paper of ["labels", "bench"]) $(paper === "bench" ? "paper" : paper).href = `/site/${siteID}/paper/${paper}.pdf?run=${runID}`;
		if (state.pack) BenchShow.refold();
		await VisitSync.start(() => siteID, BenchTold.heard, BenchTold.learn);
		await VisitSync.round(siteID);
		BenchShow.draw();
	}

	for (const id of ["pad", "looking"]) $(id).addEventListener("click", event => { const k = event.target.closest("button")?.dataset.key; if (k) BenchKeys.press(k); });
	$("readback").addEventListener("click", event => { const b = event.target.closest("button"); if (b) BenchKeys.tap(b.value); });
	$("otherwise").addEventListener("input", event => BenchKeys.say(event.target.dataset.of, event.target.value));
	$("otherwise").addEventListener("click", event => { const b = event.target.closest("button"); if (b) { b.parentElement.querySelector("input").value = b.value; BenchKeys.say(b.dataset.of, b.value); } });
	$("serial").addEventListener("input", () => { state.asked = false; state.run?.first === "device" || !state.run?.places.length ? BenchShow.draw() : BenchShow.drawLook(); });
	for (const id of ["serial", "otherwise"]) $(id).addEventListener("keydown", event => { if (event.key === "Enter" && event.target.matches("input")) { event.preventDefault(); event.target.blur(); } });
	$("verdict").addEventListener("scroll", BenchShow.drawBelow, {passive: true});
	$("typed").addEventListener("change", () => { state.asked = false; BenchShow.draw(); });
	$("entry").addEventListener("submit", event => { event.preventDefault(); BenchDeeds.submit(); });
	$("menu").addEventListener("click", event => { const what = event.target.closest("button")?.dataset.do; if (what) act(what); });
	$("undo").onclick = BenchDeeds.undoLast;
	for (const [panel, button] of BenchShow.PANELS) $(button).onclick = () => BenchMove.toggle(panel, button);
	$("byname").addEventListener("submit", event => { event.preventDefault(); BenchMove.jumpTo($("wanted").value); });
	$("scan").onclick = () => VisitScan.scan($("camera")).then(text => { if (text) { $("serial").value = text.trim(); $("serial").dispatchEvent(new Event("input")); } }).catch(error => BenchShow.trouble("The camera cannot be used (" + error.name + "): type the serial."));
	addEventListener("keydown", event => {
		if (event.target.matches("input, textarea, select, button, a, summary") || event.ctrlKey || event.metaKey || $("work").hidden) return;
		const k = {Backspace: "back", ",": ".", " ": "more"}[event.key] ?? event.key;
		if (!$("pad").hidden && /^[0-9.]$|^back$|^-$|^more$/.test(k)) { BenchKeys.press(k); event.preventDefault(); }
		if (k === "Enter") BenchDeeds.submit();
	});
	setInterval(() => state.run && !$("work").hidden && state.times.length && BenchShow.drawLookClock(), 1000);
	$("look").onclick = () => setLook({light: "dark", dark: "light"}[document.documentElement.dataset.look] ?? (matchMedia("(prefers-color-scheme: dark)").matches ? "light" : "dark"));
	function setLook(look) {
		if (look) document.documentElement.dataset.look = look;
		try { if (look) localStorage.setItem("look", look); } catch { /* a look that is not kept is no loss */ }
	}
	try { setLook(localStorage.getItem("look")); } catch { /* as above */ }
	begin();
})();
