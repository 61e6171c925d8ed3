"use strict";
// Sorts the list by a column, and leaves in it what has all the words that are searched for.
(() => {
  const body = document.querySelector("tbody");
  const find = document.getElementById("find");
  const found = document.getElementById("found");
  if (!body || !(find instanceof HTMLInputElement) || !found) return;
  const rows = [...body.rows];
  const heads = [...document.querySelectorAll("thead th")];
  const order = new Intl.Collator("en", { numeric: true, sensitivity: "base" });

  /**
   * What a row is sorted by.
   * @param {HTMLTableRowElement} row
   * @param {number} n
   */
  function keyOf(row, n) {
    const cell = row.cells[n];
    return cell?.dataset.key ?? cell?.textContent ?? "";
  }

  heads.forEach((head, n) => {
    const button = head.querySelector("button");
    if (!button) return;
    const number = "number" in button.dataset;
    button.addEventListener("click", () => {
      const before = head.getAttribute("aria-sort");
      // Of numbers the greatest are asked for first.
      const up = before ? before === "descending" : !number;
      for (const other of heads) other.removeAttribute("aria-sort");
      head.setAttribute("aria-sort", up ? "ascending" : "descending");
      rows.sort((a, b) => {
        const [one, other] = [keyOf(a, n), keyOf(b, n)];
        return (up ? 1 : -1) * (number ? Number(one) - Number(other) : order.compare(one, other));
      });
      body.append(...rows);
    });
  });

  /** @param {string} text */
  const plain = (text) => text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();
  const texts = new Map(rows.map((row) => [row, plain(row.textContent ?? "")]));
  const search = () => {
    const words = plain(find.value).split(/\s+/).filter(Boolean);
    let left = 0;
    for (const [row, text] of texts) {
      row.hidden = !words.every((word) => text.includes(word));
      left += row.hidden ? 0 : 1;
    }
    found.textContent = words.length ? `${left} of ${rows.length}` : "";
  };
  if (find.parentElement) find.parentElement.hidden = false;
  find.addEventListener("input", search);
  search();
})();
