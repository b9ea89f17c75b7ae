// The answers of a page of the coverage report: kept by the browser while it can, and saved as a file that `scriptkit coverage` reads.
const form = document.getElementById("answers");
const inputs = [...form.querySelectorAll("input[type=radio]")];
const shelf = (input) => `scriptkit-answers:${form.dataset.file}:${form.dataset.title}:${input.dataset.gap}:${input.dataset.asks}`;
const quoted = (cell) => (/[",\r\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell);
const guarded = (cell) => (/^[ ·']*[=+\-@＝＋－＠]/.test(cell) ? "'" : "") + cell;
const chosen = () => inputs.filter((input) => input.checked && input.value);

function count() {
  const asked = new Set(inputs.map((input) => input.name)).size, answered = chosen().length;
  document.getElementById("answered").textContent = `${answered} of ${asked} answered`;
}

for (const input of inputs) {
  try {
    if (localStorage.getItem(shelf(input)) === input.value) input.checked = true;
  } catch { /* this browser keeps nothing: the file still does */ }
  input.addEventListener("change", () => {
    try {
      localStorage.setItem(shelf(input), input.value);
    } catch { /* the same */ }
    count();
  });
}

document.getElementById("save").addEventListener("click", () => {
  const rows = [["title", "gap", "answer"], ...chosen().map((input) => [form.dataset.title, input.dataset.gap, input.value])];
  const text = "\ufeff" + rows.map((row) => row.map((cell) => quoted(guarded(cell))).join(",") + "\r\n").join("");
  const address = URL.createObjectURL(new Blob([text], { type: "text/csv" }));
  const link = document.createElement("a");
  link.href = address;
  link.download = form.dataset.file;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 60000);
  document.getElementById("saved").textContent = `Saved as ${form.dataset.file}.`;
});
document.getElementById("saving").hidden = false;
count();
