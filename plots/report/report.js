"use strict";
// What is folded away is printed all the same.
addEventListener("beforeprint", () => {
  for (const folded of document.querySelectorAll("details")) {
    folded.open = true;
  }
});
// Sorts a table by the column whose name is pressed: first rising, then falling.
// Rows of equal rank keep their order; what is not known comes last.
for (const button of document.querySelectorAll("th button")) {
  button.addEventListener("click", () => {
    const head = button.closest("th");
    const table = head.closest("table");
    const column = head.cellIndex;
    const falling = head.getAttribute("aria-sort") === "ascending";
    const words = head.hasAttribute("data-text");
    const rank = (row) => words ? row.cells[column].textContent : row.cells[column].dataset.order;
    const body = table.tBodies[0];
    const rows = Array.from(body.rows);
    rows.sort((one, other) => {
      const a = rank(one), b = rank(other);
      if (a === "" || b === "") {
        return (a === "") - (b === "");
      }
      const order = words ? a.localeCompare(b, "en", { numeric: true }) : Number(a) - Number(b);
      return falling ? -order : order;
    });
    body.append(...rows);
    for (const other of head.parentNode.cells) {
      other.setAttribute("aria-sort", "none");
    }
    head.setAttribute("aria-sort", falling ? "descending" : "ascending");
    document.getElementById("said").textContent =
      table.caption.textContent + ": sorted by " + button.textContent + (falling ? ", falling" : ", rising");
  });
}
