// Sheets: every piece with its blocks to be pressed. What is pressed changes rows, as typing would; what is tried changes nothing until it is kept.
"use strict";
(() => {
  const pieces = document.getElementById("pieces");
  const hand = document.getElementById("hand");
  const told = document.getElementById("told");
  let shown = "";
  let pressed = null; // the block that the dialog is about

  // The blocks are put where the drawing has them; of each piece one is reached by the tab key, and the others from there by the arrows.
  const place = () => {
    const grow = pieces.clientWidth > 1900 ? 1.2 : 1; // true proportion to one another: all grow alike
    for (const img of pieces.querySelectorAll(".drawing img")) img.style.width = `${img.getAttribute("width") * grow}px`;
    for (const drawing of pieces.querySelectorAll(".drawing")) {
      let first = true;
      for (const spot of drawing.querySelectorAll(".spot")) {
        const [x, y, w, h] = spot.dataset.at.split(" ");
        Object.assign(spot.style, {left: `${x / 100}%`, top: `${y / 100}%`, width: `${w / 100}%`, height: `${h / 100}%`});
        spot.tabIndex = first ? 0 : -1;
        first = false;
      }
    }
  };
  place();
  addEventListener("resize", place);

  const keyOf = (e) => ("hand" in e.dataset ? `spot ${e.dataset.hand}` : JSON.stringify(e.dataset));
  const focusOn = (key) => {
    const same = key && [...pieces.querySelectorAll("a, button")].find((e) => keyOf(e) === key);
    (same || document.getElementById("main")).focus({preventScroll: true});
  };
  const renew = desk.oneAtATime(async () => {
    try {
      const html = await desk.part("/part/sheets");
      if (html === shown) return;
      shown = html;
      const held = pieces.contains(document.activeElement) && keyOf(document.activeElement);
      desk.put(pieces, html, place);
      if (held) focusOn(held);
    } catch (e) {
      desk.say(e.message, true);
    }
  });
  desk.on("laid", renew);
  desk.on("back", renew);

  const act = async (path, what, says) => {
    if (!await desk.act(path, what)) return;
    told.textContent = says;
    await renew();
  };

  // The dialog of a block.
  const open = async (b) => {
    pressed = keyOf(b);
    const at = "piece" in b.dataset ? `&piece=${b.dataset.piece}&block=${b.dataset.block}` : "";
    try {
      hand.innerHTML = await desk.part(`/part/hand?id=${encodeURIComponent(b.dataset.hand)}${at}`);
      if (!hand.open) desk.open(hand);
    } catch (e) {
      desk.say(e.message, true);
    }
  };
  const close = () => {
    hand.close();
    focusOn(pressed);
  };
  hand.addEventListener("cancel", (e) => {
    e.preventDefault();
    close();
  });
  hand.addEventListener("click", async (e) => {
    if (e.target === hand) close(); // beside it
    const b = e.target.closest("button");
    if (!b || b.type !== "button") return;
    const at = document.getElementById("hand-form").dataset;
    close();
    if ("keepHere" in b.dataset || "letGo" in b.dataset) {
      const keep = "keepHere" in b.dataset;
      await act("/sheets/keep", {version: at.version, piece: Number(at.piece), block: Number(at.block), keep}, keep ? "It is kept here." : "It may lie elsewhere again.");
    } else if (b.dataset.hold) {
      await act("/sheets/hold", {id: b.dataset.hold, hold: true}, "It is held back.");
    }
  });
  hand.addEventListener("submit", async (e) => {
    e.preventDefault();
    const f = e.target;
    const button = f.querySelector("button.main");
    const cells = {};
    for (const field of f.elements) if (field.name && field.value !== (field.tagName === "SELECT" ? [...field.options].find((o) => o.defaultSelected).value : field.defaultValue)) cells[field.name] = field.value;
    button.disabled = true;
    button.textContent = "Being laid…";
    try {
      await desk.send("/sheets/try", {id: f.dataset.id, cells, was: JSON.parse(f.dataset.was)});
      hand.close();
      await renew();
      told.textContent = [...pieces.querySelectorAll(".tried tbody tr")].map((r) => `${r.cells[0].textContent}: ${r.cells[1].textContent}, then ${r.cells[2].textContent}`).join("; ");
      pieces.querySelector(".tried button")?.focus();
      scrollTo(0, 0);
    } catch (why) {
      desk.problems(document.getElementById("hand-wrong"), why.message, why.problems);
    }
    button.disabled = false;
    button.textContent = "Try it";
  });

  pieces.addEventListener("click", async (e) => {
    const b = e.target.closest("button");
    if (!b) return;
    const d = b.dataset;
    const version = pieces.querySelector("[data-version]")?.dataset.version;
    if ("hand" in d) await open(b);
    else if ("way" in d) await act("/sheets/press", {version, way: Number(d.way)}, "Done. It can be taken back above.");
    else if ("back" in d) await act("/sheets/back", {press: Number(d.back)}, "It is taken back.");
    else if ("printAgain" in d) await act("/sheets/hold", {id: d.printAgain, hold: false}, "It is printed after all.");
    else if ("tried" in d) await act("/sheets/tried", {number: Number(d.tried), keep: "keep" in d}, "keep" in d ? "It is kept." : "It is taken back.");
  });

  pieces.addEventListener("keydown", (e) => {
    const spot = e.target.closest("button.spot");
    const way = {ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1}[e.key];
    if (!spot || !way) return;
    e.preventDefault();
    const all = [...spot.parentElement.querySelectorAll("button.spot")];
    const next = all[(all.indexOf(spot) + way + all.length) % all.length];
    spot.tabIndex = -1;
    next.tabIndex = 0;
    next.focus();
  });
})();
