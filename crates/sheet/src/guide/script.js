"use strict";
const all = (within, what) => [...within.querySelectorAll(what)];
const listed = (words) =>
  words.length < 2 ? words.join("") : words.slice(0, -1).join(", ") + " and " + words.at(-1);

// The play panel.
(() => {
  const panel = document.getElementById("panel");
  if (!panel) return;
  const controls = all(panel, ".controls button");
  const rows = all(panel, "tbody tr");
  const said = panel.querySelector(".said");
  const number = (text) => parseInt(text, 36);
  const pairs = panel.dataset.odd.split(" ").filter(Boolean).map((pair) => pair.split(":").map(number));
  const odd = new Map(pairs);
  const isHeld = (button) => button.getAttribute("aria-pressed") === "true";
  const hold = (button, held) => button.setAttribute("aria-pressed", held);

  const tell = (first) => {
    let pressed = 0, asked = 0, sum = Number(panel.dataset.idle);
    for (const button of controls.filter(isHeld)) {
      pressed |= 1 << button.dataset.bit;
      asked |= button.dataset.asked;
      sum |= button.dataset.alone;
    }
    const reads = odd.get(pressed) ?? sum;
    const read = [], unasked = [], missed = [];
    rows.forEach((row, bit) => {
      const name = row.querySelector("code").textContent;
      const [does, should] = [reads, asked].map((set) => ((set >> bit) & 1) === 1);
      if (does) read.push(name);
      if (does && !should) unasked.push(name);
      if (!does && should) missed.push(name);
      row.className = does === should ? (does ? "read" : "") : "wrong";
      row.querySelector(".state").textContent = does
        ? (should ? "read" : "read, and nobody asked")
        : (should ? "asked for, not sure to read" : "not read");
    });
    const held = controls.filter(isHeld).map((button) => button.textContent);
    const sentences = [
      first,
      held.length ? `Pressed: ${listed(held)}.` : "Nothing pressed.",
      `The machine reads ${listed(read) || "nothing"}.`,
    ];
    if (unasked.length) sentences.push(`Nobody asked for ${listed(unasked)}.`);
    if (missed.length) sentences.push(`Asked for and not sure to read: ${listed(missed)}.`);
    said.textContent = sentences.filter(Boolean).join(" ");
  };

  for (const button of controls) {
    button.addEventListener("click", () => {
      hold(button, !isHeld(button));
      const other = controls.find((one) => isHeld(one) && one.textContent === button.dataset.excludes);
      const lets = isHeld(button) && other;
      if (lets) hold(other, false);
      tell(lets ? `The gate has let ${other.textContent} go.` : "");
    });
  }
  panel.querySelector(".let-go").addEventListener("click", () => {
    controls.forEach((button) => hold(button, false));
    tell("");
  });
  panel.hidden = false;
  tell("");
})();

// The ticks.
(() => {
  const overview = document.getElementById("ticks");
  if (!overview) return;
  const key = document.body.dataset.ticks;
  const boxes = all(document, "input[type=checkbox]");
  const [clear, sure, yes, no] = [".clear", ".sure", ".yes", ".no"].map((what) => overview.querySelector(what));

  // A browser may forbid its store to a file, or altogether: the ticks then last as long as the page.
  const kept = (work) => {
    try { return { value: work(window.localStorage) }; } catch { return null; }
  };
  const ticks = () => boxes.map((box) => (box.checked ? "1" : "0")).join("");
  const keep = () => kept((store) => store.setItem(key, ticks()));
  const load = () => {
    const found = kept((store) => store.getItem(key));
    if (found?.value?.length === boxes.length) boxes.forEach((box, at) => { box.checked = found.value[at] === "1"; });
    return found;
  };
  const tell = () => {
    for (const line of all(document, "[data-progress]")) {
      const within = line.dataset.progress === "page" ? document : line.closest("section");
      const own = all(within, "input[type=checkbox]");
      const text = `${own.filter((box) => box.checked).length} of ${own.length} ticked`;
      if (line.textContent !== text) line.textContent = text;
      line.hidden = false;
    }
    clear.disabled = !boxes.some((box) => box.checked);
  };
  const ask = (asking) => {
    sure.hidden = !asking;
    clear.hidden = asking;
  };

  document.addEventListener("change", (event) => {
    if (!boxes.includes(event.target)) return;
    keep();
    tell();
  });
  clear.addEventListener("click", () => { ask(true); no.focus(); });
  no.addEventListener("click", () => { ask(false); clear.focus(); });
  sure.addEventListener("keydown", (event) => { if (event.key === "Escape") no.click(); });
  yes.addEventListener("click", () => {
    boxes.forEach((box) => { box.checked = false; });
    keep();
    tell();
    ask(false);
    overview.querySelector(".progress").focus();
  });
  // The same guide in another tab.
  window.addEventListener("storage", (event) => { if (event.key === key) { load(); tell(); } });

  const isKept = load() && keep();
  overview.querySelector(".kept").textContent = isKept
    ? "Ticks are kept in this browser, for this lead as it is now."
    : "This browser keeps no ticks for this page: they are gone when it is closed.";
  overview.hidden = false;
  tell();
})();
