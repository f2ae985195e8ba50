"use strict";
(() => {
  const $ = (id) => document.getElementById(id);
  const form = $("filters"), grid = $("grid"), dialog = $("square"), notes = $("notes");
  const [head, ...rows] = grid.rows;
  const lists = document.querySelector(".lists");
  const order = { rows: (one) => one.cells[0], columns: (one) => one };
  const data = (node) => node.dataset;
  const before = (by) => (a, b) =>
    (by === "rank" ? data(a).rank - data(b).rank : 0) || (data(a).name < data(b).name ? -1 : 1);
  const words = (id) => $(id).value.toLowerCase().split(/\s+/).filter(Boolean);
  const has = (node, wanted) => wanted.every((word) => data(node).words.includes(word));
  // Profiles that differ in name alone share a row or a column.
  const profiles = (node) => data(node).name.split(" ").length;
  const ticked = (name) => [...form.elements[name]].filter((box) => box.checked).map((box) => box.value);

  // A cell keeps its column's heading, as columns change places.
  const heads = [...head.cells].slice(1);
  const cells = rows.map((row) => [...row.cells].slice(1));
  const of = new Map();
  rows.forEach((row, y) => cells[y].forEach((cell, x) => of.set(cell, { row, column: heads[x] })));

  const sort = () => {
    const by = before($("columns").value);
    const places = heads.map((_, at) => at).sort((a, b) => by(heads[a], heads[b]));
    head.append(...places.map((at) => heads[at]));
    rows.forEach((row, y) => row.append(...places.map((at) => cells[y][at])));
    const own = before($("rows").value);
    grid.tBodies[0].append(...[...rows].sort((a, b) => own(a.cells[0], b.cells[0])));
    lists.append(...[...lists.children].sort(own));
  };

  const filter = () => {
    const [controllers, ports] = [words("of-controllers"), words("of-ports")];
    const [outcomes, classes, signs] = [ticked("outcome"), ticked("class"), ticked("sign")];
    const wanted = (node) => outcomes.includes(data(node).outcome)
      && (!data(node).class || classes.includes(data(node).class))
      && (!data(node).sign || signs.includes(data(node).sign));
    let shown = 0, all = 0, shownPairs = 0, pairs = 0;
    const columns = new Set();
    rows.forEach((row, y) => {
      const named = has(row.cells[0], controllers);
      let any = false;
      cells[y].forEach((cell) => {
        const column = of.get(cell).column;
        const on = named && wanted(cell) && has(column, ports);
        cell.classList.toggle("off", !on);
        const own = profiles(row.cells[0]) * profiles(column);
        all += 1;
        pairs += own;
        if (on) { shown += 1; shownPairs += own; any = true; columns.add(column); }
      });
      row.hidden = !any;
    });
    heads.forEach((column) => { column.hidden = !columns.has(column); });
    for (const [cell, { column }] of of) cell.hidden = column.hidden;
    for (const section of lists.children) {
      let any = false;
      for (const details of section.querySelectorAll("details")) {
        let on = false;
        for (const port of details.querySelectorAll(".of-ports li")) {
          port.hidden = !has(port, ports);
          on ||= !port.hidden;
        }
        details.hidden = !(on && wanted(details));
        any ||= !details.hidden;
      }
      section.hidden = !(any && has(section, controllers));
    }
    const told = (some, of, what) => some === of ? `all ${of} ${what}` : `${some} of ${of} ${what}`;
    $("shown").textContent = `Shown: ${told(shown, all, "squares")}, which stand for ${told(shownPairs, pairs, "pairs")}.`;
    stop(here && !here.closest(".off,[hidden]") ? here : squares()[0]);
  };

  // One square at a time can be tabbed to; the arrows go to the others.
  let here = null;
  const squares = () => [...grid.querySelectorAll("td:not(.off):not([hidden]) a")].filter((a) => !a.closest("tr").hidden);
  const stop = (a) => {
    if (here) here.tabIndex = -1;
    here = a || null;
    if (here) here.tabIndex = 0;
  };
  const go = (x, y) => {
    const cell = here.closest("td");
    const line = [...grid.tBodies[0].rows].filter((row) => !row.hidden);
    let [column, row] = [cell.cellIndex, line.indexOf(cell.parentNode)];
    for (;;) {
      [column, row] = [column + x, row + y];
      const next = line[row] && line[row].cells[column];
      if (!next || next.tagName !== "TD") return;
      if (!next.hidden && !next.classList.contains("off")) return next.querySelector("a");
    }
  };
  const ends = { Home: [-1, 0], End: [1, 0], PageUp: [0, -1], PageDown: [0, 1] };
  const arrows = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  grid.addEventListener("keydown", (event) => {
    if (!event.target.closest("td") || event.altKey || event.ctrlKey || event.metaKey) return;
    const way = arrows[event.key] || ends[event.key];
    if (!way) return;
    event.preventDefault();
    let next = go(...way);
    for (let on = next; on && ends[event.key]; on = go(...way)) { next = on; stop(on); }
    if (!next) return;
    stop(next);
    next.focus();
    next.scrollIntoView({ block: "nearest", inline: "nearest" });
  });
  grid.addEventListener("focusin", (event) => { if (event.target.closest("td")) stop(event.target); });

  const make = (name, text) => Object.assign(document.createElement(name), { textContent: text });
  grid.addEventListener("click", (event) => {
    const a = event.target.closest("td a");
    if (!a) return;
    event.preventDefault();
    stop(a);
    const { row, column } = of.get(a.closest("td"));
    const first = (node) => data(node).name.split(" ")[0];
    const command = `solderside design ${first(row.cells[0])} ${first(column)}`;
    const heading = Object.assign(make("h2", `${row.cells[0].title} – ${column.title}`), { id: "square-heading" });
    const said = Object.assign(make("p", ""), { className: "said" });
    const code = make("code", command), copy = make("button", "Copy");
    copy.type = "button";
    copy.addEventListener("click", async () => {
      try {
        await navigator.clipboard.writeText(command);
        copy.textContent = "Copied";
      } catch {
        getSelection().selectAllChildren(code);
        copy.textContent = "Marked: copy it";
      }
    });
    said.append(code, copy);
    const close = make("button", "Close");
    close.type = "button";
    close.addEventListener("click", () => dialog.close());
    const note = document.querySelector(a.getAttribute("href")).cloneNode(true);
    dialog.replaceChildren(heading, ...note.childNodes, said, close);
    dialog.showModal();
    close.focus();
    dialog.scrollTop = 0;
  });
  dialog.addEventListener("close", () => { if (here) here.focus(); });
  dialog.addEventListener("click", (event) => { if (event.target === dialog) dialog.close(); });

  form.addEventListener("input", () => { sort(); filter(); });
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("reset", () => setTimeout(() => { sort(); filter(); }));
  grid.setAttribute("role", "grid");
  for (const a of grid.querySelectorAll("td a")) a.tabIndex = -1;
  const box = $("filter-box");
  box.hidden = false;
  box.open = matchMedia("(min-width: 48.01rem)").matches;
  sort();
  filter();
})();
