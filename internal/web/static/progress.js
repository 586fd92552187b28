// Follows work under way without loading the page anew: the part that tells of it
// is put in the place of the old one, and the whole page once it is over. Without
// this script the page refreshes itself.
"use strict";
(async () => {
  const pause = () => new Promise((resolve) => setTimeout(resolve, 500));
  for (;;) {
    await pause();
    const here = document.querySelector("[data-follow] progress");
    try {
      const answer = await fetch(location.href, { headers: { Accept: "text/html" } });
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      const there = page.querySelector("[data-follow] progress");
      if (!here || !there) break;
      here.closest("label").replaceWith(document.importNode(there.closest("label"), true));
    } catch {
      await pause(); // the server is away for a moment
    }
  }
  location.reload();
})();
