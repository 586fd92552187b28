// In the form that teaches a source, a part of a line is marked by selecting it and choosing what it is. Without this script
// what stands there is typed.
for (const box of document.querySelectorAll("form.teaching fieldset[data-line]")) {
  const line = box.querySelector("code.heard"), roles = box.querySelector("[data-roles]");
  const rows = [...box.querySelectorAll(".row")].map(row => ({
    role: row.querySelector("select"), value: row.querySelector("input:not([type=hidden])"), after: row.querySelector("input[type=hidden]"),
  }));
  const letters = text => text.replace(/\s/g, "");
  const marks = new Map(); // by role: where it begins, in letters, and what stands there
  const show = () => {
    const sorted = [...marks].sort((a, b) => a[1].after - b[1].after);
    rows.forEach((row, i) => {
      const [role, mark] = sorted[i] ?? ["", { value: "", after: "" }];
      row.role.value = role;
      row.value.value = mark.value;
      row.after.value = mark.after;
    });
  };
  for (const option of rows[0].role.options) {
    if (!option.value) continue;
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = option.value;
    button.addEventListener("click", () => {
      const chosen = getSelection(), text = chosen.toString().trim();
      if (!text || !chosen.rangeCount || !line.contains(chosen.anchorNode) || !line.contains(chosen.focusNode)) return;
      const before = document.createRange();
      before.setStart(line, 0);
      before.setEnd(chosen.getRangeAt(0).startContainer, chosen.getRangeAt(0).startOffset);
      marks.set(option.value, { value: text, after: letters(before.toString()).length });
      show();
    });
    roles.append(button);
  }
  const says = document.createElement("span");
  says.className = "quiet";
  says.textContent = "Select a part of the line, then say what it is.";
  roles.prepend(says);
  roles.hidden = false;
}
