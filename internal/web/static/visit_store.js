// What is on this phone: the visit it took along, and what was captured. An entry
// stays until the server said that it has it, and longer: so that it can be shown
// and taken back.
"use strict";
const VisitStore = (() => {
	let opening;

	function open() {
		opening ??= new Promise((done, fail) => {
			const request = indexedDB.open("sootline", 1);
			request.onupgradeneeded = () => {
				const db = request.result;
				db.createObjectStore("packs", {keyPath: "site"});   // what a visit needs, one a site
				db.createObjectStore("done");                      // what all stations did, by site
				db.createObjectStore("entries", {keyPath: "id"});  // captures
				db.createObjectStore("photos");                    // pictures, by hash
				db.createObjectStore("facts");                     // small things
			};
			request.onsuccess = () => {
				request.result.onclose = () => { opening = undefined; };
				done(request.result);
			};
			request.onerror = () => { opening = undefined; fail(request.error); };
		});
		return opening;
	}

	// run does work in one transaction, which is on the disk when the promise is kept.
	// A full disk makes the browser close what it had open: then it is opened anew.
	async function run(names, mode, work) {
		try {
			return await once(await open(), names, mode, work);
		} catch (error) {
			if (error.name !== "InvalidStateError") throw error;
			opening = undefined;
			return once(await open(), names, mode, work);
		}
	}

	function once(db, names, mode, work) {
		return new Promise((done, fail) => {
			const tx = db.transaction(names, mode, {durability: "strict"});
			let result;
			tx.oncomplete = () => done(result?.result);
			tx.onabort = () => fail(tx.error ?? new DOMException("", "AbortError"));
			result = work(...[].concat(names).map(name => tx.objectStore(name)));
		});
	}
	const get = (name, key) => run(name, "readonly", store => store.get(key));
	const all = name => run(name, "readonly", store => store.getAll());
	const put = (name, value, key) => run(name, "readwrite", store => { store.put(value, key); });

	// keep writes captures, all or none, with the picture they name.
	const keep = (entries, photo) => run(["entries", "photos"], "readwrite", (store, photos) => {
		for (const entry of entries) store.put(entry);
		if (photo) photos.put(photo.blob, photo.hash);
	});

	// settle notes the answer of the server: state 1 it has them, 2 it refuses them;
	// and when that was, by its clock.
	const settle = (ids, state, settled, why) => run("entries", "readwrite", store => {
		for (const id of ids) {
			const request = store.get(id);
			request.onsuccess = () => { if (request.result) store.put({...request.result, state, settled, why: why ?? ""}); };
		}
	});

	// again marks what the server had as to be handed in once more.
	const again = () => run("entries", "readwrite", store => {
		const request = store.getAll();
		request.onsuccess = () => { for (const e of request.result) if (e.state === 1) store.put({...e, state: 0}); };
	});

	// forget drops what the server has of other visits to a site, and their pictures,
	// as far as a backup holds it that began after the server had it: kept tells when
	// the newest began. An entry that does not say when it was settled, since an
	// earlier page settled it, counts as settled now.
	const forget = (site, visit, kept, now) => run(["entries", "photos"], "readwrite", (store, photos) => {
		const request = store.getAll();
		request.onsuccess = () => {
			for (const e of request.result) {
				if (e.site !== site || e.visit === visit || e.state !== 1) continue;
				if (e.settled === undefined) store.put({...e, settled: now});
				if (!(e.settled < kept)) continue;
				store.delete(e.id);
				if (e.body.photo) photos.delete(e.body.photo);
			}
		};
	});

	// notKept is what is said where a write failed.
	const notKept = error => "This was NOT kept: the storage of this phone is full or failing (" + (error?.name ?? error) + "). Make room and write it down again, or write it on paper.";

	// newID makes a UUID of version 7 (RFC 9562): 48 bits of time, 74 of chance.
	function newID(at) {
		const b = crypto.getRandomValues(new Uint8Array(16));
		for (let i = 5, t = at; i >= 0; i--, t = Math.floor(t / 256)) b[i] = t % 256;
		b[6] = b[6] & 0x0f | 0x70;
		b[8] = b[8] & 0x3f | 0x80;
		return [...b].map((x, i) => ([4, 6, 8, 10].includes(i) ? "-" : "") + x.toString(16).padStart(2, "0")).join("");
	}
	return {get, all, put, keep, settle, again, forget, notKept, newID};
})();
