// A form marked data-live asks again while somebody types in it: the same page by
// the same address, of which the part named by data-live is put in place. Without
// this script its button does the same.
for (const form of document.querySelectorAll("form[data-live]")) {
  let waiting, asked = 0;
  const ask = async () => {
    const turn = ++asked;
    const address = location.pathname + "?" + new URLSearchParams(new FormData(form));
    const shown = document.getElementById(form.dataset.live);
    shown.setAttribute("aria-busy", "true");
    try {
      const answer = await fetch(address, { headers: { Accept: "text/html" } });
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      const part = page.getElementById(form.dataset.live);
      if (turn !== asked) return; // somebody typed on
      if (!part) { form.submit(); return; } // signed out, or trouble: let the page say so
      shown.replaceWith(document.adoptNode(part));
      history.replaceState(null, "", address);
    } catch {
      shown.removeAttribute("aria-busy"); // no connection: what is there stays, and the button says why
    }
  };
  form.addEventListener("input", () => {
    clearTimeout(waiting);
    waiting = setTimeout(ask, 300);
  });
}
