// The gallery narrowed to what the reader has time, tools and skill for, and to what holds her thing.
// The choice stands in the address.
"use strict";

(function () {
  const filters = document.getElementById("the-filters");
  if (!filters) return;
  const root = document.documentElement;
  const cards = [...document.querySelectorAll(".card")];
  const fields = [...filters.querySelectorAll("select, input")];
  const thing = filters.querySelector("[name=holds]");
  const hint = document.getElementById("the-things");
  const shown = document.getElementById("the-shown");
  const button = document.getElementById("the-sieve");
  const UNITS = { mm: 1, cm: 10, in: 25.4 };
  const PLAY = 0.02; // mm: what is written of a room is rounded

  // -- a size as people write it: "3 1/2 × 2 × 3/4 in", "90x50x20", "5,5 cm × 8"

  const system = () => (root.dataset.units === "both" ? (root.lang.startsWith("en") ? "in" : "mm") : root.dataset.units);

  function parsed(text) {
    const plain = text.toLowerCase().replace(/(\d)\s*([¼-¾⅐-⅞])/g, "$1 $2").normalize("NFKC").replace(/⁄/g, "/")
      .replace(/(\d),(\d)/g, "$1.$2").replace(/(\d)-(\d+\/)/g, "$1 $2").replace(/[ø⌀]/g, " ");
    const parts = plain.split(/[×x*]|\bby\b|\bmal\b/).map((part) =>
      part.trim().match(/^(?:(\d*\.?\d+)|(?:(\d+) +)?(\d+)\/(\d+))\s*(mm|cm|in|inch|inches|zoll|"|″|'')?$/));
    if (parts.length > 3 || parts.some((part) => !part)) return null;
    const unit = (part) => part[5] && (UNITS[part[5]] ? part[5] : "in");
    const last = parts.map(unit).filter(Boolean).pop() || system();
    const sides = parts.map((part) =>
      (part[1] ? Number(part[1]) : Number(part[2] || 0) + part[3] / part[4]) * UNITS[unit(part) || last]);
    return sides.every((side) => side > 0 && Number.isFinite(side)) ? sides : null;
  }

  // -- what a box holds: all of a thing must lie within every wall of its room

  // Rows [x, y, z, d] of a room as it is written: what lies in it has x·X + y·Y + z·Z ≤ d for each.
  function walls(written) {
    let [[high], corners, leaning = []] = written.split("|").map((part) => part.split(" ").map(Number));
    if (corners.length === 2) corners = [0, 0, corners[0], 0, ...corners, 0, corners[1]];
    const rows = [];
    for (let k = 0; k < corners.length; k += 2) {
      const [x, y] = [corners[k], corners[k + 1]];
      const [dx, dy] = [corners[(k + 2) % corners.length] - x, corners[(k + 3) % corners.length] - y];
      const long = Math.hypot(dx, dy);
      rows.push([dy / long, -dx / long, 0, (dy * x - dx * y) / long]);
    }
    const turns = [...Array(60).keys()].map((k) => (k * Math.PI) / 60).concat(rows.map(([x, y]) => Math.atan2(y, x)));
    for (let k = 0; k < leaning.length; k += 4) rows.push(leaning.slice(k, k + 4));
    return { high, rows, turns };
  }

  // Whether any point of the plane has x·X + y·Y ≤ d for all rows [x, y, d]: a large square, cut by one after the other.
  function meet(rows) {
    let room = [[-1e4, -1e4], [1e4, -1e4], [1e4, 1e4], [-1e4, 1e4]];
    for (const [x, y, d] of rows) {
      const over = room.map(([a, b]) => a * x + b * y - d);
      room = room.flatMap((point, k) => {
        const before = (k || room.length) - 1;
        const cut = (over[k] > 0) !== (over[before] > 0)
          ? [point.map((a, i) => room[before][i] + ((a - room[before][i]) * over[before]) / (over[before] - over[k]))]
          : [];
        return over[k] > 0 ? cut : [...cut, point];
      });
      if (!room.length) return false;
    }
    return true;
  }

  const stands = ({ high, rows, turns }, a, b, c) => c <= high + PLAY && turns.some((turn) => {
    const [u, v] = [Math.cos(turn), Math.sin(turn)];
    return meet(rows.map(([x, y, z, d]) =>
      [x, y, d + PLAY - z * c - (a * Math.abs(x * u + y * v) + b * Math.abs(y * u - x * v)) / 2]));
  });
  const HOLDS = [
    ({ high, rows }, a) => a <= high + PLAY && meet(rows.map(([x, y, z, d]) => [x, y, d + PLAY - ((z + 1) * a) / 2])),
    (room, a, c) => (c <= room.high + PLAY
      && meet(room.rows.map(([x, y, z, d]) => [x, y, d + PLAY - z * c - (Math.hypot(x, y) * a) / 2]))) || stands(room, a, c, a),
    (room, a, b, c) => stands(room, a, b, c) || stands(room, a, c, b) || stands(room, b, c, a),
  ];

  const rooms = (card) => (root.dataset.units === "both" ? ["in", "mm"] : [root.dataset.units])
    .map((name) => card.dataset[name]).filter(Boolean);
  const holds = (card, sides) => rooms(card).some((room) => HOLDS[sides.length - 1](walls(room), ...sides));

  // -- narrowing

  const most = (name) => (card, limit) => card.dataset[name] !== "" && Number(card.dataset[name]) <= Number(limit);
  const KEEPS = {
    level: (card, wanted) => card.dataset.level === wanted,
    minutes: most("minutes"),
    "widest-mm": most("widest"),
    "widest-in": most("widest"),
    sides: (card, wanted) => card.dataset.sides === wanted,
    sheets: (card, wanted) => card.dataset.sheets.split("|").includes(wanted),
    tools: (card, lacking) => !card.dataset.tools.split("|").includes(lacking),
  };

  function sift() {
    if (hint) hint.textContent = thing.dataset[system()];
    const unseen = root.dataset.units === "in" ? "widest-mm" : root.dataset.units === "mm" ? "widest-in" : "";
    const asked = fields.filter((field) => field.value.trim() && field.name !== unseen);
    const sides = thing && thing.value.trim() ? parsed(thing.value) : undefined;
    const chosen = asked.filter((field) => field !== thing);
    cards.forEach((card) => {
      card.hidden = !chosen.every((field) => KEEPS[field.name](card, field.value)) || (sides ? !holds(card, sides) : false);
    });
    thing?.toggleAttribute("aria-invalid", sides === null);
    if (sides === null) thing.setAttribute("aria-invalid", "true");
    const words = shown.dataset;
    const left = cards.filter((card) => !card.hidden).length;
    const said = sides && thing.value.trim().replace(/\s*[x*]\s*/gi, " × ");
    const size = /[a-z"″]$/i.test(said) ? said : `${said} ${words[system()]}`;
    const unknown = sides ? cards.filter((card) => !rooms(card).length).length : 0;
    shown.textContent = [
      sides === null && `${words.noSize} ${hint.textContent}.`,
      (sides || chosen.length) && (sides ? words.holds : words.words).replace("{n}", left).replace("{all}", cards.length)
        .replace("{size}", size),
      unknown && `(${words.unknown.replace("{n}", unknown)})`,
    ].filter(Boolean).join(" ");
    const query = new URLSearchParams(location.search);
    fields.forEach((field) => (asked.includes(field) ? query.set(field.name, field.value) : query.delete(field.name)));
    try {
      history.replaceState(null, "", location.pathname + (query.size ? `?${query}` : "") + location.hash);
    } catch {
      // a page opened from a folder may not change its address
    }
  }

  filters.addEventListener("input", sift);
  new MutationObserver(sift).observe(root, { attributeFilter: ["data-units"] });
  document.getElementById("the-whole").addEventListener("click", () => {
    fields.forEach((field) => { field.value = ""; });
    sift();
  });
  const fold = (open) => button.setAttribute("aria-expanded", open);
  button.addEventListener("click", () => fold(button.getAttribute("aria-expanded") === "false"));

  const given = new URLSearchParams(location.search);
  fields.forEach((field) => {
    field.value = given.get(field.name) || "";
    if (field.selectedIndex === -1) field.value = "";
  });
  if (fields.some((field) => field.value)) fold(true);
  sift();
})();
