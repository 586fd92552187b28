// In the form of an entry another kind shows its fields at once: the same page is
// asked for them, and what was typed into fields of the same name stays. Without
// this script the form's second button does the same.
for (const form of document.querySelectorAll("form[data-said]")) {
  const kind = form.elements.namedItem("kind"), shows = form.querySelector("button.shows");
  if (!shows) continue;
  shows.hidden = true;
  let asked = 0;
  kind.addEventListener("change", async () => {
    const turn = ++asked, address = new URL(location.href);
    address.searchParams.set("new", kind.value);
    try {
      const answer = await fetch(address, { headers: { Accept: "text/html" } });
      const page = new DOMParser().parseFromString(await answer.text(), "text/html");
      const fresh = page.getElementById(form.dataset.said), shown = document.getElementById(form.dataset.said);
      if (turn !== asked) return; // another kind was chosen meanwhile
      if (!fresh) throw new Error("no fields"); // signed out, or trouble
      const typed = new Map();
      for (const field of shown.querySelectorAll("[name]:not([type=hidden])")) typed.set(field.name, field);
      shown.replaceWith(document.adoptNode(fresh));
      for (const field of fresh.querySelectorAll("[name]:not([type=hidden])")) {
        const was = typed.get(field.name);
        if (was && was.tagName === field.tagName && was.type === field.type && was.value !== (was.defaultValue ?? "")) field.value = was.value;
        if (was && was.type === "checkbox" && field.type === "checkbox") field.checked = was.checked;
      }
    } catch {
      shows.hidden = false; // no connection: the button says why
    }
  });
}
