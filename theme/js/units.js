// What must hold before the first line is shown: that scripts run, whether one step stands alone,
// and which measures the page shows: the reader's choice, kept in this browser once there is one.
"use strict";

(function () {
  const KEY = "foldgauge-units";
  const CHOICES = ["in", "mm", "both"];
  const root = document.documentElement;
  root.dataset.script = "";
  if (new URLSearchParams(location.search).has("table")) root.dataset.table = "";

  function remembered() {
    try {
      const choice = localStorage.getItem(KEY);
      return CHOICES.includes(choice) ? choice : null;
    } catch {
      return null; // a browser that keeps nothing
    }
  }

  function remember(choice) {
    try {
      localStorage.setItem(KEY, choice);
    } catch {
      // the choice holds for this page
    }
  }

  function show(choice) {
    root.dataset.units = choice;
    document.querySelectorAll('input[name="units"]').forEach((input) => {
      input.checked = input.value === choice;
    });
  }

  const first = remembered();
  if (first) root.dataset.units = first;

  document.addEventListener("DOMContentLoaded", () => {
    const control = document.getElementById("the-units");
    if (control) {
      control.addEventListener("change", (event) => {
        remember(event.target.value);
        show(event.target.value);
      });
    }
    show(first || "both"); // some browsers bring back what was ticked before a reload
  });

  window.addEventListener("storage", (event) => {
    if (event.key === KEY && CHOICES.includes(event.newValue)) show(event.newValue);
  });
})();
