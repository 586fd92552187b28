// Targets smaller than 24 by 24 CSS pixels (WCAG 2.2, 2.5.8), without those in a sentence and those with enough space:
// a circle of 24 pixels around the middle of one that is too small meets no other target and no other such circle.
(() => {
	const size = 24;
	const boxOf = e => [e, ...(e.labels || [])].map(x => x.getBoundingClientRect()).filter(b => b.width && b.height)
		.reduce((a, b) => a ? {left: Math.min(a.left, b.left), top: Math.min(a.top, b.top), right: Math.max(a.right, b.right), bottom: Math.max(a.bottom, b.bottom)} : {left: b.left, top: b.top, right: b.right, bottom: b.bottom}, null);
	const all = [...document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary, [role=button], [role=link], [role=tab]")]
		.filter(e => !e.disabled && e.checkVisibility({visibilityProperty: true})).map(e => ({e, box: boxOf(e)})).filter(t => t.box);
	const tooSmall = t => t.box.right - t.box.left < size - 0.5 || t.box.bottom - t.box.top < size - 0.5;
	const inSentence = e => e.matches("a") && getComputedStyle(e).display === "inline" && e.parentElement.textContent.trim().length > e.textContent.trim().length + 3;
	const middle = t => [(t.box.left + t.box.right) / 2, (t.box.top + t.box.bottom) / 2];
	const far = (a, b) => { // whether the circle around a stays clear of b
		const [x, y] = middle(a);
		if (tooSmall(b)) { const [p, q] = middle(b); return Math.hypot(x - p, y - q) >= size; }
		return Math.hypot(x - Math.max(b.box.left, Math.min(x, b.box.right)), y - Math.max(b.box.top, Math.min(y, b.box.bottom))) >= size / 2;
	};
	return all.filter(t => tooSmall(t) && !inSentence(t.e)).filter(t => all.some(o => o.e !== t.e && !t.e.contains(o.e) && !o.e.contains(t.e) && !far(t, o)))
		.map(t => (t.e.textContent || t.e.getAttribute("aria-label") || t.e.type || "").trim().slice(0, 30) + " " + Math.round(t.box.right - t.box.left) + "x" + Math.round(t.box.bottom - t.box.top));
})()
