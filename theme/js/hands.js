// Pictures mirrored for readers who work with the left hand, and what serves in place of tools that are missing:
// remembered only once the reader chose it.
"use strict";

(function () {
  const KEY = "foldgauge-left-handed";
  const root = document.documentElement;
  const control = document.getElementById("the-left-hand");
  if (!control) return;

  function kept() {
    try {
      return localStorage.getItem(KEY) === "yes";
    } catch {
      return false; // a browser that keeps nothing
    }
  }

  function keep(left) {
    try {
      if (left) localStorage.setItem(KEY, "yes");
      else localStorage.removeItem(KEY);
    } catch {
      // the choice holds for this page
    }
  }

  // Words that run upward have a turn of their own, which the style sheet cannot add to: they are mirrored about their middle here.
  const upright = [...document.querySelectorAll("svg.drawing text[transform]")].map((text) => {
    const own = text.getAttribute("transform");
    const middle = Number(own.split(/[ ,]+/)[1]);
    return [text, own, `translate(${2 * middle} 0) scale(-1 1) ${own}`];
  });

  function show(left) {
    if (left) root.dataset.left = "";
    else delete root.dataset.left;
    control.checked = left;
    upright.forEach(([text, own, mirrored]) => text.setAttribute("transform", left ? mirrored : own));
  }

  control.addEventListener("change", () => {
    keep(control.checked);
    show(control.checked);
  });
  window.addEventListener("storage", (event) => {
    if (event.key === KEY) show(kept());
  });
  show(kept());

  const LACKING = "foldgauge-lacking";
  const tools = [...document.querySelectorAll("#the-lacking input")];
  const listed = document.querySelectorAll(".tools [data-tool]");
  if (!tools.length) return;

  function missing() {
    try {
      return (localStorage.getItem(LACKING) || "").split(" ").filter(Boolean);
    } catch {
      return tools.filter((tool) => tool.checked).map((tool) => tool.value);
    }
  }

  function tell() {
    const none = missing();
    tools.forEach((tool) => { tool.checked = none.includes(tool.value); });
    listed.forEach((row) => row.classList.toggle("lacking", none.includes(row.dataset.tool)));
  }

  // Tools of other tutorials, which this page does not name, stay as they were.
  document.getElementById("the-lacking").addEventListener("change", (event) => {
    const none = missing().filter((word) => word !== event.target.value);
    if (event.target.checked) none.push(event.target.value);
    try {
      if (none.length) localStorage.setItem(LACKING, none.join(" "));
      else localStorage.removeItem(LACKING);
    } catch {
      // the choice holds for this page
    }
    tell();
  });
  window.addEventListener("storage", (event) => {
    if (event.key === LACKING) tell();
  });
  tell();
})();
