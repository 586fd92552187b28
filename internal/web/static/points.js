// Tells how many points are selected. Without this script they are selected all the same.
const status = document.getElementById("selected"), boxes = [...document.querySelectorAll('input[form="chosen-form"]')];
function tell() {
  const n = boxes.filter(box => box.checked).length;
  status.hidden = n === 0;
  status.textContent = n === 1 ? "1 point selected." : `${n} points selected.`;
}
for (const box of boxes) box.addEventListener("change", tell);
if (status) tell();
