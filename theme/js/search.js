// Search over titles, steps, prose and words; loaded when the reader opens it, with the index of her language.
// MiniSearch ranks, completes and forgives; what makes German and English words alike stands here.
import MiniSearch from "./minisearch.js";

const root = new URL("..", import.meta.url);
const language = document.documentElement.lang;
const german = language.startsWith("de");
const MOST = 30; // results
const BITS = 5; // of a digit, as generator/website/search_index.py writes numbers
const LAST_DIGIT = 35;
const OTHER_DIGIT = 93;

// -- words

// Small letters without marks: "Maß" as "mass", and in German "Säge", written "Saege" too, as "sage".
function folded(word) {
  const plain = word.toLowerCase().replace(/ß/g, "ss").normalize("NFD").replace(/\p{M}/gu, "");
  return german ? plain.replace(/([aou])e/g, "$1") : plain;
}

// Without its endings, so that "Laschen" and "Lasche", "scored" and "scoring" are one; never fewer than three letters.
function stemmed(word) {
  let stem = word;
  if (german) {
    for (let turn = 0; turn < 2; turn += 1) stem = stem.replace(/(?<=.{3})(?:ern|nen|e[mnrs]?|s|(?<=[lr])n)$/, "");
    return stem;
  }
  stem = stem.replace(/(?<=.{2})ies$/, "y").replace(/(?<=.(?:ss|[xz]|[cs]h))es$/, "").replace(/(?<=.{2}[^su])s$/, "");
  return stem.replace(/(?<=.{3})(?:ing|ed)$/, "").replace(/([bdgmnprt])\1$/, "$1").replace(/(?<=.{3})e$/, "");
}

const term = (word) => stemmed(folded(word));
const words = (text) => text.match(/[\p{L}\p{N}\p{M}]+/gu) || [];

// The parts of a German compound, of which the last is a known word: "Klebelasche" → "kleb", "lasch".
function parts(stem, known) {
  if (!german) return [];
  let tail = [];
  for (let k = 3; k <= stem.length - 4; k += 1) {
    const [head, rest] = [stemmed(stem.slice(0, k)), stem.slice(k)];
    if (known.has(rest)) {
      if (known.has(head)) return [head, rest];
      const before = parts(head, known);
      if (before.length) return [...before, rest];
      if (!tail.length && rest.length > 4) tail = [rest];
    }
  }
  return tail;
}

// -- the index

function numbers(written) {
  const found = [];
  let [at, value, shift] = [-1, 0, 0];
  for (const sign of written) {
    const code = sign.charCodeAt(0);
    const last = code < OTHER_DIGIT;
    value += (code - (last ? LAST_DIGIT : OTHER_DIGIT)) << shift;
    shift = last ? 0 : shift + BITS;
    if (last) {
      at += value;
      value = 0;
      found.push(at);
    }
  }
  return found;
}

function built(data) {
  const vocabulary = data.words.split(" ");
  const stop = new Set(data.stop);
  const known = new Set(vocabulary.map(term));
  data.pages.forEach(([, title, summary, steps]) => {
    [title, summary, ...steps.map(([, step]) => step)].forEach((text) => words(text).forEach((word) => known.add(term(word))));
  });
  const kept = new Map();
  const terms = (word) => {
    if (stop.has(word.toLowerCase())) return null;
    if (!kept.has(word)) kept.set(word, [term(word), ...parts(term(word), known)]);
    return kept.get(word);
  };
  const found = [];
  const said = (written) => numbers(written).map((number) => vocabulary[number]).join(" ");
  for (const [url, title, summary, steps, own] of data.pages) {
    if (title) found.push({ id: found.length, url, title, text: `${summary} ${said(own)}`, page: "", note: summary });
    steps.forEach(([anchor, step, more], k) => found.push({
      id: found.length, url: `${url}#${anchor}`, title: step, text: said(more), page: title,
      note: title ? `${data.say.step.replace("{n}", k + 1)} · ${title}` : data.say.word,
    }));
  }
  const index = new MiniSearch({
    fields: ["title", "text", "page"],
    tokenize: words,
    processTerm: terms,
    searchOptions: { tokenize: (text) => [text], processTerm: (one) => one, prefix: true, boost: { title: 4, page: 0.5 } },
  });
  index.addAll(found);
  const synonyms = data.synonyms.map((group) => group.map(term));

  // A word of the reader's: as it is, by the parts of a compound, or by another word for it.
  const asked = (word, fuzzy) => {
    const stem = term(word);
    const [split, others] = [parts(stem, known), synonyms.filter((group) => group.includes(stem)).flat()];
    return { combineWith: "OR", queries: [
      { queries: [stem], fuzzy: fuzzy && (stem.length < 4 ? 0 : stem.length < 6 ? 1 : 2) },
      ...(split.length > 1 ? [{ combineWith: "AND", queries: split, boostTerm: () => 0.7 }] : []),
      ...others.filter((other) => other !== stem).map((other) => ({ queries: [other], prefix: false, boostTerm: () => 0.3 })),
    ] };
  };
  return (text) => {
    const sought = words(text);
    const rare = sought.filter((word) => !stop.has(word.toLowerCase()));
    const find = (fuzzy) => index.search({ combineWith: "AND", queries: (rare.length ? rare : sought).map((word) => asked(word, fuzzy)) });
    if (!sought.length) return [];
    const exact = find(false);
    return (exact.length ? exact : find(true)).map(({ id }) => found[id]);
  };
}

let loading = null;
function loaded() {
  loading ??= fetch(new URL(language.startsWith("en") ? "search.json" : `search.${language}.json`, root)).then((answer) => {
    if (!answer.ok) throw new Error(answer.status);
    return answer.json();
  }).then((data) => ({ say: data.say, find: built(data) }));
  loading.catch(() => { loading = null; });
  return loading;
}

function news(say, count) {
  return count ? say.count.replace("{n}", count) : say.none;
}

function element(name, attributes, ...inside) {
  const made = document.createElement(name);
  Object.entries(attributes).forEach(([key, value]) => made.setAttribute(key, value));
  made.append(...inside);
  return made;
}

const address = ({ url }) => new URL(url, root).href;
const note = (result) => (result.note ? [element("span", { class: "note" }, result.note)] : []);

// -- the search page: a list of links, which an address can ask for (?q=…)

const query = document.getElementById("the-query");
if (query) {
  const status = document.getElementById("the-found");
  const results = document.getElementById("the-results");
  const look = () => loaded().then(({ say, find }) => {
    const found = find(query.value);
    results.replaceChildren(...found.slice(0, MOST).map((result) =>
      element("li", {}, element("a", { href: address(result) }, result.title), " ", ...note(result))));
    status.textContent = query.value.trim() ? news(say, found.length) : "";
  }, () => { status.textContent = status.dataset.failed; });
  query.addEventListener("input", look);
  query.value = new URLSearchParams(location.search).get("q") || query.value;
  if (query.value) look();
}

// -- in the head of every page: a combobox with a list, in a dialog (ARIA Authoring Practices, combobox pattern)

let dialog = null;

function made(door) {
  const list = element("ul", { role: "listbox", id: "the-options", "aria-label": door.textContent });
  const field = element("input", {
    type: "text", role: "combobox", inputmode: "search", enterkeyhint: "search", autocomplete: "off", spellcheck: "false",
    "aria-label": door.textContent, "aria-autocomplete": "list", "aria-expanded": "false", "aria-controls": "the-options",
  });
  const status = element("p", { role: "status" });
  const close = element("button", { type: "submit", class: "plain-button", "aria-label": "×" }, "×");
  const form = element("form", { method: "dialog" }, field, close);
  const box = element("dialog", { class: "search-box", "aria-label": door.textContent }, form, status, list);
  let [found, at] = [[], -1];

  function choose(k) {
    at = k;
    [...list.children].forEach((option, each) => option.setAttribute("aria-selected", each === k));
    if (k >= 0) {
      field.setAttribute("aria-activedescendant", `option-${k}`);
      list.children[k].scrollIntoView({ block: "nearest" });
    } else field.removeAttribute("aria-activedescendant");
  }

  function show(options, words) {
    found = options;
    list.replaceChildren(...options.map((result, k) =>
      element("li", { role: "option", id: `option-${k}`, "aria-selected": "false" }, element("b", {}, result.title), " ", ...note(result))));
    list.hidden = !options.length;
    field.setAttribute("aria-expanded", options.length > 0);
    status.textContent = words;
    choose(-1);
  }

  const everywhere = () => `${door.href}?q=${encodeURIComponent(field.value)}`;
  const look = () => loaded().then(({ say, find }) => {
    close.setAttribute("aria-label", say.close);
    const all = find(field.value);
    show(all.slice(0, MOST), field.value.trim() ? news(say, all.length) : say.hint);
  }, () => { location.href = everywhere(); });

  function go(k) {
    box.close();
    location.href = k >= 0 ? address(found[k]) : everywhere();
  }

  const KEYS = {
    ArrowDown: () => found.length && choose((at + 1) % found.length),
    ArrowUp: () => found.length && choose(at < 1 ? found.length - 1 : at - 1),
    Enter: () => field.value.trim() && go(at),
  };
  field.addEventListener("keydown", (event) => {
    if (!KEYS[event.key] || event.isComposing) return;
    event.preventDefault();
    KEYS[event.key]();
  });
  field.addEventListener("input", look);
  list.addEventListener("click", (event) => {
    const option = event.target.closest("[role=option]");
    if (option) go([...list.children].indexOf(option));
  });
  box.addEventListener("click", (event) => { if (event.target === box) box.close(); });
  list.hidden = true;
  document.head.append(element("link", { rel: "stylesheet", href: new URL("css/search.css", root) }));
  document.body.append(box);
  return { box, field, look };
}

export function open(door) {
  dialog ??= made(door);
  if (!dialog.box.open) dialog.box.showModal();
  dialog.field.focus();
  dialog.field.select();
  dialog.look();
}
