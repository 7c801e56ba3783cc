// The two rules at true size: once matched with a bank card, the match is kept on this device.
"use strict";

(function () {
  const match = document.getElementById("the-match");
  if (!match) return;
  const KEY = "foldgauge-px-a-mm";
  const USUAL = 96 / 25.4; // px a mm, as CSS reckons
  const slide = document.getElementById("the-slide");
  const news = document.getElementById("the-matched");
  const rule = document.querySelector(".rule-sheet .rule");
  const card = document.querySelector(".bank-card");

  function show(px) {
    slide.value = px;
    rule.style.width = `${304.8 * px}px`;
    rule.style.height = "auto";
    card.style.width = `${(Number(match.dataset.wide) + 0.4) * px}px`;
  }

  function kept() {
    try {
      const px = Number(localStorage.getItem(KEY));
      return px >= Number(slide.min) && px <= Number(slide.max) ? px : null;
    } catch {
      return null;
    }
  }

  function keep(px) {
    try {
      if (px) localStorage.setItem(KEY, String(px));
      else localStorage.removeItem(KEY);
    } catch {
      // it holds for this page
    }
  }

  slide.addEventListener("input", () => show(Number(slide.value)));
  document.getElementById("the-keeping").addEventListener("click", () => {
    keep(Number(slide.value));
    news.textContent = match.dataset.kept;
  });
  document.getElementById("the-forgetting").addEventListener("click", () => {
    keep(null);
    show(USUAL);
    news.textContent = match.dataset.forgotten;
  });
  show(kept() || USUAL);
})();
