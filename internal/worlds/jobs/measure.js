// What is measured on a page as it is laid out. Gives a list of sentences, empty where nothing is wrong.
(site => {
	const wrong = [];
	const screen = innerHeight;
	const seen = e => e.checkVisibility({visibilityProperty: true, opacityProperty: true}) && e.getBoundingClientRect().width > 2 && e.getBoundingClientRect().height > 2;
	const inFirst = box => box.top >= -1 && box.bottom <= screen + 1 && box.right > 0;
	const top = e => { const b = e.getBoundingClientRect(); return {top: b.top + scrollY, bottom: b.bottom + scrollY, right: b.right}; };
	const main = document.querySelector("main, [role=main]") || document.body;

	const title = main.querySelector("h1");
	const after = e => !title || (title.compareDocumentPosition(e) & Node.DOCUMENT_POSITION_FOLLOWING);
	const paper = !document.querySelector("nav, [role=navigation]"); // a document to read or print, not a place to act
	const conclusion = main.querySelector("[data-conclusion]")
		|| [...main.querySelectorAll("p, [role=status], output")].find(e => after(e) && seen(e) && e.innerText.trim() && !e.closest("nav, form, figure, table"));
	if (paper) {}
	else if (!conclusion) wrong.push("no conclusion: no paragraph or status after its title");
	else if (!inFirst(top(conclusion))) wrong.push("its conclusion is not inside the first screen");
	const action = main.querySelector("[data-main-action]") || [...main.querySelectorAll("button, [role=button], input[type=submit]")].find(seen)
		|| [...main.querySelectorAll("a[href]")].find(seen);
	if (!paper && action && !inFirst(top(action))) wrong.push("its main action is not inside the first screen");

	if (site) {
		const words = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
		let named = false;
		while (!named && words.nextNode()) {
			if (!words.currentNode.data.includes(site) || !seen(words.currentNode.parentElement)) continue;
			const range = document.createRange();
			range.selectNodeContents(words.currentNode);
			const box = range.getBoundingClientRect();
			named = box.width > 2 && box.top + scrollY < screen && box.left < innerWidth && box.right > 0;
		}
		if (!named) wrong.push("the site's name is not in sight");
	}
	return wrong;
})
