// What a print is worth, by the mark that stands on it: typed, or in the address (?mark=…).
"use strict";

(function () {
  const field = document.getElementById("the-mark");
  const worth = document.getElementById("the-worth");
  if (!field) return;
  const rows = [...document.querySelectorAll("tr[data-mark]")];

  // Crockford's base 32: letters that look like figures are read as those
  function read(text) {
    return text.toUpperCase().replace(/[\s-]/g, "").replace(/O/g, "0").replace(/[IL]/g, "1");
  }

  function show() {
    const mark = read(field.value);
    const found = rows.filter((row) => row.dataset.mark === mark);
    for (const row of rows) row.hidden = mark.length === 6 && found.length > 0 && !found.includes(row);
    for (const section of document.querySelectorAll(".printed")) {
      section.hidden = ![...section.querySelectorAll("tr[data-mark]")].some((row) => !row.hidden);
    }
    worth.textContent = mark.length < 6 ? "" : found.length === 0 ? worth.dataset.unknown
      : found.map((row) => `${row.closest("section").querySelector("h2").textContent.trim()}: ${row.cells[2].firstChild.textContent.trim()}`).join("; ");
  }

  field.addEventListener("input", show);
  const asked = new URLSearchParams(location.search).get("mark");
  if (asked) {
    field.value = asked.slice(0, 8);
    show();
  }
})();
