// Search over titles, steps and words, in a list that is fetched when the reader begins to type.
"use strict";

(function () {
  const query = document.getElementById("the-query");
  const news = document.getElementById("the-found");
  const results = document.getElementById("the-results");
  if (!query) return;
  let pages = null;

  const plain = (text) => text.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();

  async function fetched() {
    pages ??= fetch(news.dataset.index).then((answer) => {
      if (!answer.ok) throw new Error(answer.status);
      return answer.json();
    }).then((data) => data.pages);
    return pages;
  }

  function finds(all, sought) {
    const has = (text) => sought.every((word) => plain(text).includes(word));
    const found = [];
    for (const [url, title, summary, steps] of all) {
      if (has(`${title} ${summary}`)) found.push([url, title, summary]);
      for (const [anchor, step] of steps) {
        if (has(step)) found.push([`${url}#${anchor}`, step, title]);
      }
    }
    return found;
  }

  function row([url, title, note]) {
    const item = document.createElement("li");
    const link = document.createElement("a");
    link.href = `${news.dataset.root}/${url}`;
    link.textContent = title;
    item.append(link);
    if (note) {
      const words = document.createElement("span");
      words.className = "note";
      words.textContent = ` ${note}`;
      item.append(words);
    }
    return item;
  }

  async function look() {
    const sought = plain(query.value).split(/\s+/).filter(Boolean);
    if (!sought.length) {
      results.replaceChildren();
      news.textContent = "";
      return;
    }
    try {
      const found = finds(await fetched(), sought);
      results.replaceChildren(...found.slice(0, 50).map(row));
      news.textContent = found.length ? news.dataset.count.replace("{n}", found.length) : news.dataset.none;
    } catch {
      pages = null;
      news.textContent = news.dataset.failed;
    }
  }

  query.addEventListener("input", look);
  query.value = new URLSearchParams(location.search).get("q") || query.value;
  if (query.value) look();
})();
