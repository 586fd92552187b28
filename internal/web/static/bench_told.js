// What the server tells the page of a run: the run as it stands there, what others did
// meanwhile, whether there is a network.
"use strict";
const BenchTold = (() => {
	const {state, siteID, runID} = BenchTyped;

	// take keeps a run as the server told it; without cards where this device has them.
	function take(pack) {
		const cards = new Map((state.pack?.places ?? []).map(p => [p.point_id + p.number, p.card])), next = new Map((state.pack?.next ?? []).map(n => [n.type + "/" + n.number, n.card]));
		for (const p of pack.places) p.card ||= cards.get(p.point_id + p.number) ?? "";
		for (const n of pack.next) n.card ||= next.get(n.type + "/" + n.number) ?? "";
		state.pack = pack;
	}

	// entries are those of this run that are on this device.
	const entries = async () => (await VisitStore.all("entries")).filter(e => e.run === runID);

	async function learn() {
		const short = state.pack && !state.pack.places.some(p => !p.card) ? "?without=cards" : "";
		const pack = await VisitSync.ask(`/site/${siteID}/bench/${runID}/pack${short}`);
		await VisitSync.learnBook(pack.book);
		const other = othersPlace(pack);
		take(pack);
		state.entries = await entries();
		BenchShow.refold();
		if (other) BenchShow.trouble(other);
		try { await VisitStore.put("facts", state.pack, "bench:" + runID); } catch (error) { BenchShow.trouble("The storage of this device is full: the run could not be taken along. With a network it goes on."); }
		navigator.storage?.persist?.();
	}

	// othersPlace: somebody else set the place that is in hand. Where nothing was typed yet
	// the next one is taken in hand; else what was typed stays, and is told of.
	function othersPlace(pack) {
		const mineNow = state.at, was = state.run?.place(mineNow), set = pack.done.find(d => d.point_id === mineNow && d.outcome === "done");
		if (!was || was.done.length || !set || BenchDeeds.mine(set) && set.station === pack.station) return "";
		if (BenchTyped.touched()) return `${set.by} set ${BenchRun.nameOf(was)} meanwhile. What you typed is still there: put it right, or jump to another place.`;
		state.at = null;
		return "";
	}

	function heard(news) {
		if (news.offset !== undefined) BenchShow.drawClock();
		if (news.online !== undefined) Object.assign(state, {online: news.online, signedOut: news.signedOut});
		if (news.status === 404) BenchShow.trouble("The book has no such run.");
		if (news.noWorker) BenchShow.trouble("This browser keeps no pages: without network this page works only while it stays open.");
		BenchShow.drawKept();
	}
	return {take, entries, learn, heard};
})();
