// A stroke of / goes to the search, from anywhere but a field.
addEventListener("keydown", event => {
  if (event.key !== "/" || event.ctrlKey || event.metaKey || event.altKey || event.target.closest("input, select, textarea, [contenteditable]")) return;
  const find = document.getElementById("find");
  if (!find) return;
  event.preventDefault();
  find.addEventListener("beforeinput", typed => { if (typed.data === "/") typed.preventDefault(); }, { once: true }); // the stroke itself is no search
  find.focus();
  find.select();
});
