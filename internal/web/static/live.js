// A form marked data-live asks again while somebody types in it: the same page by
// the same address, of which the parts named by data-live are put in place. Without
// this script its button does the same.
for (const form of document.querySelectorAll("form[data-live]")) {
  let waiting, asked = 0;
  const ask = async () => {
    const turn = ++asked;
    const address = location.pathname + "?" + new URLSearchParams(new FormData(form));
    const shown = form.dataset.live.split(" ").map(id => document.getElementById(id));
    for (const part of shown) part.setAttribute("aria-busy", "true");
    try {
      const answer = await fetch(address, { headers: { Accept: "text/html" } });
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      const parts = shown.map(part => page.getElementById(part.id));
      if (turn !== asked) return; // somebody typed on
      if (parts.includes(null)) { form.submit(); return; } // signed out, or trouble: let the page say so
      for (const [i, part] of parts.entries()) shown[i].replaceWith(document.adoptNode(part));
      history.replaceState(null, "", address);
    } catch {
      for (const part of shown) part.removeAttribute("aria-busy"); // no connection: what is there stays, and the button says why
    }
  };
  form.addEventListener("input", () => {
    clearTimeout(waiting);
    waiting = setTimeout(ask, 300);
  });
}
