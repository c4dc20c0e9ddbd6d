// Cut: one cut at a time, for full hands. What is done is remembered in this browser, for this PDF.
"use strict";
(async () => {
  const at = (id) => document.getElementById(id);
  const drawn = at("drawn");
  if (!drawn) return;
  let all;
  try {
    all = JSON.parse(await desk.part("/part/cuts"));
  } catch (e) {
    desk.say(e.message, true);
    return;
  }
  const pieces = all.pieces;
  const kept = "tuckmark-cuts";
  let done = {};
  let piece = 0;
  try {
    const was = JSON.parse(localStorage.getItem(kept) || "{}");
    if (was.pdf === all.pdf) ({done, piece} = was);
  } catch { /* what another program wrote there is nothing */ }
  piece = Math.min(Math.max(Number(piece) || 0, 0), pieces.length - 1);
  const made = (p) => Math.min(Number(done[p.key]) || 0, p.steps.length);
  const keep = () => {
    try {
      localStorage.setItem(kept, JSON.stringify({pdf: all.pdf, done, piece}));
    } catch { /* a browser that keeps nothing still shows the cuts */ }
  };

  const put = (name, attributes, text) => {
    const e = document.createElementNS("http://www.w3.org/2000/svg", name);
    for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, v);
    if (text !== undefined) e.textContent = text;
    drawn.append(e);
    return e;
  };

  // The part lies with the named edge at the fence, which is drawn on the left: a box of the piece as it lies then.
  const laid = (b, s) => {
    const part = s.part;
    const x = b.x - part.x;
    const y = b.y - part.y;
    if (s.down) return s.far ? {x: part.w - x - b.w, y: part.h - y - b.h, w: b.w, h: b.h} : {x, y, w: b.w, h: b.h};
    return s.far ? {x: part.h - y - b.h, y: x, w: b.h, h: b.w} : {x: y, y: part.w - x - b.w, w: b.h, h: b.w};
  };
  const turned = (s) => (s.down ? (s.far ? 180 : 0) : s.far ? 90 : -90);

  const draw = (p, s) => {
    drawn.replaceChildren();
    const whole = s ? s.part : p.leaves.reduce((r, l) => ({x: 0, y: 0, w: Math.max(r.w, l.x + l.w), h: Math.max(r.h, l.y + l.h)}), {x: 0, y: 0, w: 1, h: 1});
    const view = s || {part: whole, down: true, far: false};
    const size = laid(whole, view);
    const room = Math.max(size.w, size.h) / 14;
    drawn.setAttribute("viewBox", `${-room * 1.6} ${-room} ${size.w + room * 2.2} ${size.h + room * 2.6}`);
    const inside = (l) => l.x >= whole.x && l.y >= whole.y && l.x + l.w <= whole.x + whole.w + 1 && l.y + l.h <= whole.y + whole.h + 1;
    for (const l of p.leaves.filter(inside)) {
      const b = laid(l, view);
      put("rect", {x: b.x, y: b.y, width: b.w, height: b.h, class: `leaf ${l.kind}`});
      if (l.kind === "scrap") continue;
      const angle = turned(view);
      const wide = angle % 180 ? b.h : b.w;
      const high = angle % 180 ? b.w : b.h;
      const font = Math.min(high * 0.6, (wide * 1.2) / Math.max(l.says.length, 2), room * 1.3);
      put("text", {x: 0, y: 0, "font-size": font, transform: `translate(${b.x + b.w / 2} ${b.y + b.h / 2}) rotate(${angle})`, "text-anchor": "middle", "dominant-baseline": "central"}, l.says);
    }
    if (!s) return;
    put("rect", {x: -room * 0.9, y: -room * 0.7, width: room * 0.85, height: size.h + room * 1.4, class: "fence"});
    const near = s.down ? s.at - s.part.x : s.at - s.part.y;
    const cut = s.far ? size.w - near : near;
    put("line", {x1: cut, x2: cut, y1: -room * 0.8, y2: size.h + room * 0.8, class: s.skip ? "blade skip" : "blade", "stroke-width": room / 5});
    const y = size.h + room * 1.1;
    put("path", {d: `M0 ${y - room / 3}v${(room * 2) / 3}M0 ${y}H${cut}M${cut} ${y - room / 3}v${(room * 2) / 3}`, class: "measure", "stroke-width": room / 9});
  };

  const choose = at("piece");
  const list = () => {
    pieces.forEach((p, i) => {
      const text = p.title + (made(p) === p.steps.length ? ", done" : made(p) ? `, ${made(p)} of ${p.steps.length} cuts done` : "");
      if (!choose.options[i]) choose.append(new Option(text, String(i)));
      else if (choose.options[i].text !== text) choose.options[i].text = text;
    });
    choose.value = String(piece);
  };
  const show = () => {
    const p = pieces[piece];
    const n = made(p);
    const s = p.steps[n];
    at("which").textContent = p.title + (p.steps.length ? `: cut ${Math.min(n + 1, p.steps.length)} of ${p.steps.length}` : "");
    at("edge").textContent = s ? s.edge : "";
    at("set").textContent = s ? (s.skip ? "skip" : s.set) : p.steps.length ? "All cut" : "No cut";
    at("line").textContent = s ? s.line : p.steps.length ? "" : "The piece is the block.";
    at("gives").textContent = s ? `Against the fence: ${s.fence}. On the other side: ${s.other}.` : "";
    at("remark").textContent = p.note || "";
    at("done").textContent = s ? "Done" : piece + 1 < pieces.length ? "Next piece" : "Everything is cut";
    drawn.setAttribute("aria-label", s ? `The part in hand, ${s.edge.toLowerCase()}; it is cut at ${s.set}` : "The piece with all that is on it");
    draw(p, s);
    list();
    keep();
  };
  const go = (to) => {
    piece = Math.min(Math.max(to, 0), pieces.length - 1);
    show();
  };
  const next = () => {
    const p = pieces[piece];
    if (made(p) < p.steps.length) {
      done[p.key] = made(p) + 1;
      show();
    } else go(piece + 1);
  };
  const back = () => {
    const p = pieces[piece];
    if (made(p) > 0) {
      done[p.key] = made(p) - 1;
      show();
    } else go(piece - 1);
  };
  at("done").addEventListener("click", next);
  at("back").addEventListener("click", back);
  at("hand").addEventListener("click", next);
  choose.addEventListener("change", () => go(Number(choose.value)));
  addEventListener("keydown", (e) => {
    if (e.ctrlKey || e.metaKey || e.altKey || e.repeat || e.target.closest("select, dialog, .question")) return;
    const key = {ArrowRight: next, ArrowLeft: back, ArrowUp: () => go(piece - 1), ArrowDown: () => go(piece + 1), " ": e.target.closest("button, a") ? null : next}[e.key];
    if (!key) return;
    e.preventDefault();
    key();
  });
  if (pieces.length) show();
})();
