// Between this phone and the server: fetching the visit, handing in what was
// captured, and learning what others did. Handing in twice is harmless, since an
// entry has its id from here; yet only one window hands in at a time.
"use strict";
const VisitSync = (() => {
	const BATCH = 50, EVERY = 15000, PATIENCE = 20000;
	let offset = 0, last = Promise.resolve(), queued = null, tell = () => {}, learn = async site => { if (site) tell({done: await fetchDone(site)}); };

	// now is the time by the server's clock, as far as it was ever asked.
	const now = () => Date.now() + offset;

	async function ask(address, options) {
		const began = Date.now();
		const response = await fetch(address, {signal: AbortSignal.timeout(PATIENCE), credentials: "same-origin", ...options});
		if (response.redirected || response.status === 401) throw new Error("signed out");
		if (!response.ok) throw Object.assign(new Error("status " + response.status), {status: response.status, why: await whyNot(response)});
		const answer = await response.json();
		const waited = address.includes("?after="); // then the middle of the time says nothing of the clocks
		if (answer.now && !waited) await learnClock(answer.now, (began + Date.now()) / 2);
		return answer;
	}

	// whyNot is the sentence of a refusal, where the server gave one for this page.
	async function whyNot(response) {
		if (!response.headers.get("Content-Type")?.startsWith("application/json")) return "";
		try { return (await response.json()).why ?? ""; } catch { return ""; }
	}

	// learnClock compares the clocks. Where this one was changed since the last
	// entries were captured, their times are as good as it was then.
	async function learnClock(server, here) {
		const fresh = Math.round(server - here);
		if (fresh === offset) return;
		const moved = Math.abs(fresh - offset) > 120000;
		offset = fresh;
		await VisitStore.put("facts", offset, "offset");
		tell(moved ? {offset, moved: true} : {offset});
	}

	// learnBook hands in again all that is still on this phone when the book was put
	// back from a backup: it may lack what it had.
	async function learnBook(book) {
		const known = await VisitStore.get("facts", "book");
		if (known === book) return;
		if (known !== undefined) await VisitStore.again();
		await VisitStore.put("facts", book, "book");
	}

	// fetchPack takes along all that a visit needs.
	async function fetchPack(site) {
		const pack = await ask(`/site/${site}/visit/pack`);
		await learnBook(pack.book);
		await VisitStore.put("packs", pack);
		await VisitStore.forget(site, pack.visit, pack.kept_at, pack.now);
		navigator.storage?.persist?.(); // so that no browser tidies it away; it may say no
		return pack;
	}

	// fetchDone asks what was done; behind a mark it waits there until something is new.
	async function fetchDone(site, mark = "") {
		const done = await ask(`/site/${site}/visit/done` + (mark && `?after=${encodeURIComponent(mark)}`));
		await learnBook(done.book);
		await VisitStore.put("done", done, site);
		return done;
	}

	// handIn hands in everything that is only on this phone. Asked while that goes on,
	// it goes once more when it is done: what came meanwhile is not left behind.
	function handIn() {
		queued ??= last = last.catch(() => {}).then(() => { queued = null; return alone(flush); });
		return queued;
	}

	// alone keeps other windows from handing in meanwhile.
	const alone = work => navigator.locks ? navigator.locks.request("hand in", work) : work();

	async function flush() {
		const open = (await VisitStore.all("entries")).filter(e => e.state === 0).sort((a, b) => a.at - b.at || (a.id < b.id ? -1 : 1));
		for (const site of new Set(open.map(e => e.site))) {
			const mine = open.filter(e => e.site === site), waiting = new Set();
			for (let i = 0; i < mine.length; i += BATCH) await handBatch(site, mine.slice(i, i + BATCH), waiting);
		}
		return open.length;
	}

	// handPhotos hands in the pictures that entries name. It gives those that the server
	// does not keep today, having told why, and those that it never keeps, with the reason.
	// They stay here.
	async function handPhotos(site, entries) {
		const stay = new Set(), never = new Map();
		for (const hash of new Set(entries.map(e => e.body.photo).filter(Boolean))) {
			const blob = await VisitStore.get("photos", hash);
			try {
				if (blob) await ask("/photo?site=" + site, {method: "POST", body: blob, headers: {"Content-Type": "image/jpeg"}});
			} catch (error) {
				if (error.status === 422) { never.set(hash, error.why); continue; }
				if (error.status !== 429) throw error;
				stay.add(hash);
				tell({photosWait: error.why});
			}
		}
		return {stay, never};
	}

	// handBatch hands entries in. One whose picture stays here stays with it, and so does
	// what names that one: it is not settled before both are in the book, and so never forgotten.
	// One whose picture is never kept is refused, and holds up no other.
	async function handBatch(site, batch, waiting) {
		const {stay, never} = await handPhotos(site, batch);
		for (const {id, body} of batch.filter(e => never.has(e.body.photo))) await VisitStore.settle([id], 2, now(), never.get(body.photo));
		for (const {id, body} of batch) if (stay.has(body.photo) || waiting.has(body.entry) || waiting.has(body.defect)) waiting.add(id);
		const entries = batch.filter(e => !waiting.has(e.id) && !never.has(e.body.photo));
		if (!entries.length) return;
		const body = JSON.stringify({entries: entries.map(({id, at, point, kind, body, form}) => form ? {id, at, kind, form} : {id, at, point, kind, body})});
		const answer = await ask(`/site/${site}/visit/entries`, {method: "POST", body, headers: {"Content-Type": "application/json"}});
		await VisitStore.settle(answer.kept, 1, answer.now);
		for (const {id, place, why} of answer.refused) await VisitStore.settle([place ? entries[place - 1].id : id], 2, answer.now, why);
		tell({handed: answer.kept.length});
	}

	// round goes once to the server and back, and says how that went.
	async function round(site) {
		try {
			await handIn();
			await learn(site);
			tell({online: true});
		} catch (error) {
			tell({online: false, signedOut: error.message === "signed out", status: error.status, error});
		}
	}

	// watch shows what others do, or a panel says, as soon as the server knows it. Where
	// that fails it tries again after a second, and ever later, up to a quarter minute.
	async function watch(site) {
		let mark = "", pause = EVERY;
		for (;;) {
			const began = Date.now();
			try {
				if (document.hidden || !site() || !navigator.onLine) throw new Error("nobody looks");
				const done = await fetchDone(site(), mark);
				if (done.mark !== mark && mark) tell({done});
				mark = done.mark ?? "";
				pause = mark ? 500 : EVERY; // no mark: too many wait
			} catch {
				mark = "";
				pause = document.hidden || !site() ? EVERY : Math.min(2 * pause, EVERY);
			}
			await new Promise(go => setTimeout(go, mark ? Math.max(0, 250 - (Date.now() - began)) : pause));
		}
	}

	// start goes on doing so: now, when a network appears, and every quarter minute
	// while somebody looks. What is learned of others is what was done in the visit,
	// unless the page learns something else.
	async function start(site, listener, other) {
		tell = listener;
		learn = other ?? learn;
		if (!other) watch(site);
		offset = await VisitStore.get("facts", "offset") ?? 0;
		if ("serviceWorker" in navigator) navigator.serviceWorker.register("/sw.js").catch(() => tell({noWorker: true}));
		else tell({noWorker: true});
		addEventListener("online", () => round(site()));
		setInterval(() => document.hidden || round(site()), EVERY);
	}
	return {start, round, ask, learnBook, fetchPack, now, get offset() { return offset; }};
})();
