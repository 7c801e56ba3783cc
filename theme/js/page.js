// Small helps that need a script. Without it the page has everything but them.
"use strict";

(function () {
  // A picture wider than a narrow screen is moved sideways by the arrow keys too.
  function reach(sheet) {
    const title = sheet.querySelector("svg > title");
    if (sheet.scrollWidth > sheet.clientWidth) {
      sheet.tabIndex = 0;
      sheet.setAttribute("role", "group");
      if (title) sheet.setAttribute("aria-labelledby", title.id);
    } else {
      ["tabindex", "role", "aria-labelledby"].forEach((name) => sheet.removeAttribute(name));
    }
  }

  const watcher = new ResizeObserver((entries) => entries.forEach((entry) => reach(entry.target)));
  document.querySelectorAll(".sheet").forEach((sheet) => watcher.observe(sheet));

  // The search is fetched when it is opened; without a script, or where it cannot be had, the link leads to its page.
  // Once fetched it opens at once, so that no letter typed after the key is lost.
  const door = document.getElementById("the-search");
  let search = null;
  door?.addEventListener("click", (event) => {
    if (event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    if (search) search.open(door);
    else import("./search.js").then((fetched) => { search = fetched; search.open(door); }, () => { location.href = door.href; });
  });

  // Where mkdocs.yml does not say at which address the site stands, the browser knows.
  const address = document.getElementById("the-address");
  if (address && location.protocol.startsWith("http")) {
    const words = address.querySelector("dd");
    words.textContent = new URL(words.textContent, location.href).href;
    address.hidden = false;
  }

  // Sheets, overview and troubles go into print where the reader ticks them.
  const appendix = document.getElementById("the-appendix-too");
  if (appendix) {
    const choose = () => document.documentElement.toggleAttribute("data-appendix", appendix.checked);
    appendix.addEventListener("change", choose);
    choose(); // some browsers bring back what was ticked before a reload
  }

  const printing = document.getElementById("the-printing");
  if (printing) {
    printing.hidden = false;
    printing.addEventListener("click", () => window.print());
  }
})();
