// Steps the reader has done, kept on this device once one is ticked; and the address of a step, to hand on.
"use strict";

(function () {
  const article = document.querySelector("article[data-tutorial]");
  if (!article) return;
  const KEY = `foldgauge-done-${article.dataset.tutorial}`;
  const boxes = [...document.querySelectorAll(".step-head .done input")];
  const count = document.getElementById("the-count");
  const untick = document.getElementById("the-unticking");
  const news = document.getElementById("the-news");

  function kept() {
    try {
      const steps = JSON.parse(localStorage.getItem(KEY));
      return Array.isArray(steps) ? steps : [];
    } catch {
      return []; // a browser that keeps nothing, or something else under our name
    }
  }

  function keep() {
    const done = boxes.filter((box) => box.checked).map((box) => box.value);
    try {
      if (done.length) localStorage.setItem(KEY, JSON.stringify(done));
      else localStorage.removeItem(KEY);
    } catch {
      // the ticks hold for this page
    }
    tell();
  }

  function tell() {
    const done = boxes.filter((box) => box.checked).length;
    count.textContent = count.dataset.words.replace("{done}", done).replace("{all}", boxes.length);
    untick.setAttribute("aria-disabled", String(done === 0));
  }

  function show() {
    const done = kept();
    boxes.forEach((box) => { box.checked = done.includes(box.value); });
    tell();
  }

  boxes.forEach((box) => box.addEventListener("change", keep));
  untick.addEventListener("click", () => {
    boxes.forEach((box) => { box.checked = false; });
    keep();
  });
  window.addEventListener("storage", (event) => { if (event.key === KEY || event.key === null) show(); });
  show();

  document.querySelectorAll("a.anchor, .step-head a").forEach((link) => link.addEventListener("click", () => {
    if (!navigator.clipboard) return; // the address bar has it
    navigator.clipboard.writeText(link.href.replace(/\?[^#]*/, "")).then(() => {
      news.textContent = news.dataset.copied;
      link.classList.add("copied");
      setTimeout(() => { link.classList.remove("copied"); news.textContent = ""; }, 4000);
    }, () => {});
  }));
})();
