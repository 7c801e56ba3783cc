// The gallery narrowed to what the reader has time, tools and skill for. The choice stands in the address.
"use strict";

(function () {
  const filters = document.getElementById("the-filters");
  if (!filters) return;
  const cards = [...document.querySelectorAll(".card")];
  const selects = [...filters.querySelectorAll("select")];
  const shown = document.getElementById("the-shown");

  const keeps = {
    level: (card, wanted) => card.dataset.level === wanted,
    minutes: (card, most) => card.dataset.minutes !== "" && Number(card.dataset.minutes) <= Number(most),
    widest: (card, most) => card.dataset.widest !== "" && Number(card.dataset.widest) <= Number(most),
    sides: (card, wanted) => card.dataset.sides === wanted,
    sheets: (card, wanted) => card.dataset.sheets.split("|").includes(wanted),
    tools: (card, lacking) => !card.dataset.tools.split("|").includes(lacking),
  };

  function sift() {
    const asked = selects.filter((select) => select.value);
    cards.forEach((card) => { card.hidden = !asked.every((select) => keeps[select.name](card, select.value)); });
    const left = cards.filter((card) => !card.hidden).length;
    shown.textContent = asked.length ? shown.dataset.words.replace("{n}", left).replace("{all}", cards.length) : "";
    const query = new URLSearchParams(asked.map((select) => [select.name, select.value])).toString();
    try {
      history.replaceState(null, "", location.pathname + (query ? `?${query}` : "") + location.hash);
    } catch {
      // a page opened from a folder may not change its address
    }
  }

  filters.addEventListener("change", sift);
  document.getElementById("the-whole").addEventListener("click", () => {
    selects.forEach((select) => { select.value = ""; });
    sift();
  });
  const given = new URLSearchParams(location.search);
  selects.forEach((select) => {
    const value = given.get(select.name) || "";
    select.value = [...select.options].some((option) => option.value === value) ? value : "";
  });
  if (selects.some((select) => select.value)) sift();
})();
