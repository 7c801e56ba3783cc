// The table view: one step at a time, to follow with busy hands. Its address is ?table#step.
"use strict";

(function () {
  const bar = document.getElementById("the-table");
  const steps = [...document.querySelectorAll(".task")];
  if (!bar || !steps.length) return;
  const root = document.documentElement;
  const list = document.querySelector(".steps");
  const back = document.getElementById("the-back");
  const next = document.getElementById("the-next");
  const place = document.getElementById("the-place");
  const news = document.getElementById("the-news");
  const waking = document.getElementById("the-waking");
  const words = document.getElementById("the-words");
  const FAR = 60; // px a finger has to go for a swipe
  let at = 0;
  let entered = false; // by a step in the browser's history, which leaving takes back

  const open = () => "table" in root.dataset;
  const asked = () => new URLSearchParams(location.search).has("table");
  const named = () => steps.findIndex((step) => step.id === decodeURIComponent(location.hash.slice(1)));

  function address(table) {
    return `${location.pathname}${table ? "?table" : ""}#${steps[at].id}`;
  }

  function write(method, table) {
    try {
      history[method](null, "", address(table));
    } catch {
      // a page opened from a folder may not change its address
    }
  }

  function show(number, how) {
    const way = Math.sign(number - at);
    at = Math.max(0, Math.min(number, steps.length - 1));
    steps.forEach((step, k) => {
      step.classList.toggle("current", k === at);
      step.classList.toggle("comes", k === at && way !== 0);
    });
    list.style.setProperty("--from", `${way * 1.5}rem`);
    back.setAttribute("aria-disabled", String(at === 0));
    next.setAttribute("aria-disabled", String(at === steps.length - 1));
    place.textContent = `${at + 1} / ${steps.length}`;
    window.scrollTo(0, 0);
    if (how === "said") {
      const title = steps[at].querySelector("h2").cloneNode(true);
      const other = { in: ", .mm", mm: ", .in" }[root.dataset.units] || "";
      title.querySelectorAll(`.number, [aria-hidden]${other}`).forEach((part) => part.remove());
      news.textContent = news.dataset.step.replace("{number}", at + 1).replace("{all}", steps.length)
        .replace("{title}", title.textContent.trim());
    } else {
      steps[at].querySelector("h2").focus({ preventScroll: true });
    }
  }

  function tell(shown) {
    if (shown) root.dataset.words = "";
    else delete root.dataset.words;
    words.setAttribute("aria-pressed", String(shown));
  }

  function move(by) {
    if (!steps[at + by]) return;
    show(at + by, "said");
    write("replaceState", true);
  }

  function nearest() {
    // the first step whose end is still below the middle of the window
    const middle = window.innerHeight / 2;
    return Math.max(0, steps.findIndex((step) => step.getBoundingClientRect().bottom > middle));
  }

  function enter(number) {
    root.dataset.table = "";
    bar.hidden = false;
    show(number);
    if ("wakeLock" in navigator) {
      awake.checked = true;
      wake();
    }
  }

  function close() {
    delete root.dataset.table;
    bar.hidden = true;
    tell(false);
    sleep();
    steps.forEach((step) => step.classList.remove("current", "comes"));
    steps[at].scrollIntoView();
    steps[at].querySelector("a.number").focus({ preventScroll: true });
  }

  function leave() {
    if (entered) {
      entered = false;
      write("replaceState", true); // so that going back and forth comes to this step
      history.back();
    } else {
      write("replaceState", false);
      close();
    }
  }

  document.getElementById("to-table").addEventListener("click", (event) => {
    if (event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    const number = nearest();
    at = number;
    write("pushState", true);
    entered = true;
    enter(number);
  });
  back.addEventListener("click", () => move(-1));
  next.addEventListener("click", () => move(1));
  document.getElementById("the-leaving").addEventListener("click", leave);
  words.addEventListener("click", () => {
    tell(!("words" in root.dataset));
    if ("words" in root.dataset) steps[at].querySelector(".words").scrollIntoView({ block: "nearest" });
  });

  window.addEventListener("popstate", () => {
    if (asked() && (!open() || named() !== at)) enter(Math.max(0, named()));
    else if (!asked() && open()) close();
  });

  document.addEventListener("keydown", (event) => {
    if (!open() || event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === "Escape") leave();
    if (event.target.closest("input[type=radio], .sheet")) return; // there the arrows have their own work
    if (event.key === "ArrowRight") move(1);
    if (event.key === "ArrowLeft") move(-1);
  });

  // A swipe goes sideways and not on a picture that itself moves sideways.
  let start = null;
  list.addEventListener("touchstart", (event) => {
    const sheet = event.target.closest(".sheet");
    const moves = sheet && sheet.scrollWidth > sheet.clientWidth;
    start = open() && event.touches.length === 1 && !moves ? event.touches[0] : null;
  }, { passive: true });
  list.addEventListener("touchend", (event) => {
    if (!start) return;
    const x = event.changedTouches[0].clientX - start.clientX;
    const y = event.changedTouches[0].clientY - start.clientY;
    if (Math.abs(x) > FAR && Math.abs(x) > 2 * Math.abs(y)) move(x < 0 ? 1 : -1);
    start = null;
  }, { passive: true });

  // The screen stays on where the browser can do that, until the reader unticks it.
  const awake = waking.querySelector("input");
  let lock = null;

  async function wake() {
    try {
      const given = await navigator.wakeLock.request("screen");
      if (!awake.checked || !open()) given.release();
      else lock = given;
    } catch {
      awake.checked = false; // such as with a low battery
    }
  }

  function sleep() {
    if (lock) lock.release();
    lock = null;
    awake.checked = false;
  }

  if ("wakeLock" in navigator) {
    waking.hidden = false;
    awake.addEventListener("change", () => (awake.checked ? wake() : sleep()));
    document.addEventListener("visibilitychange", () => {
      if (awake.checked && document.visibilityState === "visible") wake(); // the browser lets go of it when out of sight
    });
  }

  if (asked()) enter(Math.max(0, named()));
})();
