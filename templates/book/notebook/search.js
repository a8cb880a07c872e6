/* Full-text search of this book. Everything is in the folder; nothing is sent anywhere. */
"use strict";
(function () {
  /* So many entries are read at once; more would keep the page from answering. */
  const AT_ONCE = 2000;
  const MOST = 60, LEAD = 70, LENGTH = 200;
  const form = document.querySelector("form.search");
  if (!form || !window.MiniSearch || !window.BOOK_INDEX) return;
  const field = form.elements.q, list = document.getElementById("found"), count = document.getElementById("count");
  const search = new window.MiniSearch({
    fields: ["title", "text", "where"], storeFields: ["href", "title", "where", "text"],
    tokenize: text => text.split(/[^\p{L}\p{N}\p{M}]+/u).filter(Boolean),
    searchOptions: { boost: { title: 3 }, prefix: true, fuzzy: term => (term.length > 4 ? 0.2 : false) },
  });

  function excerpt(text, terms) {
    const low = text.toLowerCase();
    const at = Math.max(0, Math.min(...terms.map(term => low.indexOf(term)).filter(place => place >= 0).concat(text.length)));
    const start = at >= text.length || at < LEAD ? 0 : text.indexOf(" ", at - LEAD) + 1;
    return (start ? "… " : "") + text.slice(start, start + LENGTH) + (start + LENGTH < text.length ? " …" : "");
  }

  /* Marks the words found; text is only ever set as text. */
  function marked(text, terms) {
    const out = document.createDocumentFragment();
    const known = terms.map(term => term.replace(/[.*+?^${}()|[\]\\]/g, "\\$&"));
    const pieces = known.length ? text.split(new RegExp("(" + known.join("|") + ")", "giu")) : [text];
    pieces.forEach((piece, index) => {
      if (index % 2) out.append(Object.assign(document.createElement("mark"), { textContent: piece }));
      else out.append(piece);
    });
    return out;
  }

  function entry(result) {
    const item = document.createElement("li");
    const link = Object.assign(document.createElement("a"), { href: result.href });
    link.append(marked(result.title, result.terms));
    item.append(link);
    if (result.where) item.append(" ", Object.assign(document.createElement("span"), { className: "kind", textContent: result.where }));
    if (result.text) {
      const text = document.createElement("p");
      text.append(marked(excerpt(result.text, result.terms), result.terms));
      item.append(text);
    }
    return item;
  }

  let ready = false;

  function show() {
    if (!ready) { count.textContent = "Reading what there is to be found."; return; }
    const asked = field.value.trim();
    let results = asked ? search.search(asked, { combineWith: "AND" }) : [];
    if (asked && !results.length) results = search.search(asked);
    list.replaceChildren(...results.slice(0, MOST).map(entry));
    count.textContent = !asked ? "" : !results.length ? "Nothing found." : results.length === 1 ? "One place." :
      results.length > MOST ? `The first ${MOST} of ${results.length} places.` : `${results.length} places.`;
  }

  form.hidden = false;
  form.addEventListener("submit", event => event.preventDefault());
  field.addEventListener("input", show);
  field.value = new URLSearchParams(window.location.search).get("q") || "";
  field.focus();
  if (window.BOOK_INDEX.length <= AT_ONCE) {
    search.addAll(window.BOOK_INDEX);
    ready = true;
  } else {
    search.addAllAsync(window.BOOK_INDEX, { chunkSize: AT_ONCE / 10 }).then(() => { ready = true; show(); });
  }
  show();
})();
