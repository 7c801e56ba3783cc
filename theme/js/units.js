// What must hold before the first line is shown: that scripts run, whether one step stands alone,
// which measures the page shows and for which paper it offers files.
// What the reader chose is kept in this browser; until she chooses, a link (?units=in), the site, or the languages
// of page and browser decide.
"use strict";

(function () {
  const root = document.documentElement;
  const asked = new URLSearchParams(location.search);
  // where sheets are Letter; of these only the first measures in inches (CLDR, supplemental data)
  const LETTER = ["US", "CA", "MX", "PH", "CL", "CO", "PR"];
  const tongue = navigator.language || "";
  const region = tongue.split("-")[1]?.toUpperCase() || "";
  const english = root.lang.startsWith("en");
  const american = english && tongue.startsWith("en") && ["", "US"].includes(region);
  const CHOICES = {
    units: { allowed: ["in", "mm", "both"], first: root.dataset.first || (american ? "in" : "mm") },
    paper: { allowed: ["a4", "letter"], first: american || LETTER.includes(region) ? "letter" : "a4" },
  };
  root.dataset.script = "";
  if (asked.has("table")) root.dataset.table = "";

  const key = (name) => `foldgauge-${name}`;
  const known = (name, choice) => (CHOICES[name].allowed.includes(choice) ? choice : null);

  function remembered(name) {
    try {
      return known(name, localStorage.getItem(key(name)));
    } catch {
      return null; // a browser that keeps nothing
    }
  }

  function remember(name, choice) {
    try {
      localStorage.setItem(key(name), choice);
    } catch {
      // the choice holds for this page
    }
  }

  function show(name, choice) {
    root.dataset[name] = choice;
    document.querySelectorAll(`input[name="${name}"]`).forEach((input) => {
      input.checked = input.value === choice;
    });
  }

  for (const name of Object.keys(CHOICES)) {
    root.dataset[name] = known(name, asked.get(name)) || remembered(name) || CHOICES[name].first;
  }

  document.addEventListener("DOMContentLoaded", () => {
    for (const name of Object.keys(CHOICES)) {
      document.getElementById(`the-${name}`)?.addEventListener("change", (event) => {
        remember(name, event.target.value);
        show(name, event.target.value);
      });
      show(name, root.dataset[name]); // some browsers bring back what was ticked before a reload
    }
  });

  window.addEventListener("storage", (event) => {
    for (const name of Object.keys(CHOICES)) {
      if (event.key === key(name) && known(name, event.newValue)) show(name, event.newValue);
    }
  });
})();
