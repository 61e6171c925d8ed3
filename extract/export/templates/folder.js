// Sorts the list by a column, and leaves in it what has all the words that are searched for.
const body = document.querySelector("tbody");
const rows = [...body.rows];
const heads = [...document.querySelectorAll("thead th")];
const order = new Intl.Collator("en", { numeric: true, sensitivity: "base" });
const keyOf = (row, n) => row.cells[n].dataset.key ?? row.cells[n].textContent;

heads.forEach((head, n) => {
  const button = head.querySelector("button");
  const number = "number" in button.dataset;
  button.addEventListener("click", () => {
    const before = head.getAttribute("aria-sort");
    // Of numbers the greatest are asked for first.
    const up = before ? before === "descending" : !number;
    for (const other of heads) other.removeAttribute("aria-sort");
    head.setAttribute("aria-sort", up ? "ascending" : "descending");
    const compare = number
      ? (a, b) => Number(keyOf(a, n)) - Number(keyOf(b, n))
      : (a, b) => order.compare(keyOf(a, n), keyOf(b, n));
    body.append(...rows.sort((a, b) => (up ? 1 : -1) * compare(a, b)));
  });
});

const find = document.getElementById("find");
const found = document.getElementById("found");
find.parentElement.hidden = false;
const plain = (text) => text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();
const texts = new Map(rows.map((row) => [row, plain(row.textContent)]));
const search = () => {
  const words = plain(find.value).split(/\s+/).filter(Boolean);
  let left = 0;
  for (const [row, text] of texts) {
    row.hidden = !words.every((word) => text.includes(word));
    left += row.hidden ? 0 : 1;
  }
  found.textContent = words.length ? `${left} of ${rows.length}` : "";
};
find.addEventListener("input", search);
search();
