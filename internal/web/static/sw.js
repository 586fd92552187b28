// The service worker of the capture page and of the bench. The server puts VERSION and SHELL, the
// addresses that the page consists of, before this text. It keeps these files and
// no data: what a visit needs lies in IndexedDB, where the page itself puts it.
"use strict";

addEventListener("install", event => event.waitUntil((async () => {
	const cache = await caches.open(VERSION);
	await cache.addAll(SHELL.map(address => new Request(address, {cache: "reload"})));
	await skipWaiting();
})()));

// An older version's files go only once all of this one's are there.
addEventListener("activate", event => event.waitUntil((async () => {
	for (const name of await caches.keys()) if (name !== VERSION) await caches.delete(name);
	await clients.claim();
})()));

addEventListener("fetch", event => {
	const request = event.request, url = new URL(request.url);
	if (request.method !== "GET" || url.origin !== location.origin) return;
	if (SHELL.includes(url.pathname + url.search)) event.respondWith(kept(request));
	else if (request.mode === "navigate") event.respondWith(fetch(request).catch(() => RUN.test(url.pathname) ? kept(new Request("/bench")) : Response.redirect("/capture")));
});

// RUN is the address of a run at the bench: without network its page is the one that
// is kept, which finds the run on the device.
const RUN = /^\/site\/[^/]+\/bench\/[^/]+$/;

async function kept(request) {
	const cache = await caches.open(VERSION);
	return await cache.match(request) || fetch(request);
}
