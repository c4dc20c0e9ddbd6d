// Cut: one cut at a time, for full hands. What is done is kept beside the job, so that it is known again whenever and wherever the page is opened.
"use strict";
(async () => {
  const at = (id) => document.getElementById(id);
  const drawn = at("drawn");
  if (!drawn) {
    desk.renews(() => location.reload());
    return;
  }
  let of, pieces, done, lies; // lies: key of the piece that lay at the trimmer last
  let turns = 0; // how often something was marked here, or kept of it
  // heard is what the desk says; what it said before something was marked here, or was kept, does not count.
  const heard = async (path) => {
    let before, now;
    do {
      before = turns;
      now = JSON.parse(await desk.part(path));
    } while (before !== turns);
    return now;
  };
  const read = async () => {
    ({of, pieces, done, at: lies} = await heard("/part/cuts"));
  };
  try {
    await read();
  } catch (e) {
    desk.say(e.message, true);
    return;
  }
  const placeOf = (key) => pieces.findIndex((p) => p.key === key);
  let piece = Math.max(placeOf(lies), 0);
  const made = (p) => Math.min(Number(done[p.key]) || 0, p.steps.length);
  const left = (p) => p.steps.length - made(p);
  // What is skipped is a step, and no cut: nobody makes it.
  const cutsIn = (steps) => steps.filter((s) => !s.skip).length;
  const cutsMade = (p) => cutsIn(p.steps.slice(0, made(p)));

  // What is done is sent one at a time, of the pieces that this page went on with; what could not be kept is kept with the next cut.
  // It outlives a page that is closed, which a browser refuses for more than 64 KB (Fetch, keepalive).
  const here = {}; // that the desk does not have yet
  const send = async () => {
    const now = {...here};
    await desk.send("/cutting/done", {done: now, at: pieces[piece].key, of}, {keepalive: Object.keys(now).length < 1000});
    turns++;
    for (const key in now) if (here[key] === now[key]) delete here[key];
  };
  // anew takes over the cuts of what was made since the page was opened. What lies at the trimmer may be of before: where that has other cuts, no more is
  // marked as done until the person has seen so.
  const anew = desk.oneAtATime(async () => {
    const before = pieces;
    await read();
    const key = before[piece]?.key; // somebody may have taken up another meanwhile
    const now = new Map(pieces.map((p) => [p.key, JSON.stringify(p)]));
    const same = new Set(before.filter((p) => now.get(p.key) === JSON.stringify(p)).map((p) => p.key));
    for (const k in here) if (!same.has(k)) delete here[k];
    Object.assign(done, here);
    piece = Math.max(placeOf(key) < 0 ? placeOf(lies) : placeOf(key), 0);
    if (pieces.length) show();
    if (same.size === before.length) return;
    const sum = (list) => `${list.length} ${list.length === 1 ? "piece" : "pieces"}, ${list.reduce((n, p) => n + cutsIn(p.steps), 0)} cuts`;
    desk.clash("made", "What is cut was made anew since this page was opened. From here on the page has the new cuts; what was printed before has others, which stand in the guides that were printed with it.", [["Until now", sum(before)], ["Now", sum(pieces)]], [
      ["Go on with the new cuts", () => {}],
    ]);
  });
  desk.renews(anew);
  // doneElsewhere takes over what another page went on with.
  const doneElsewhere = desk.oneAtATime(async () => {
    const now = await heard("/part/cuts-done");
    if (now.of !== of) return; // that it was made anew is told by itself
    const theirs = {...now.done, ...here};
    if (pieces.every((p) => (Number(theirs[p.key]) || 0) === (Number(done[p.key]) || 0))) return;
    done = theirs;
    show();
  });
  desk.on("cut", () => doneElsewhere().catch((e) => desk.say(e.message, true)));
  const waits = () => {
    const ask = document.querySelector("[data-clash=made]");
    ask?.focus();
    return !!ask;
  };
  let unkept = false;
  const keep = desk.oneAtATime(async () => {
    desk.say("saving…");
    try {
      try {
        await send();
      } catch (e) {
        if (e.status !== 409) throw e;
        await anew(); // then once more, with what still holds
        await send();
      }
      unkept = false;
    } catch (e) {
      unkept = true;
      desk.say(e.message, true);
    }
  });
  const kept = async () => {
    await keep();
    desk.arrived();
  };
  desk.unsent = () => unkept || !!keep.running();
  desk.waits = desk.unsent;
  desk.lost = "the cuts that you marked last are not saved. Mark them again when the desk is open.";
  desk.flush = async () => (unkept ? kept() : keep.running()); // what could not be kept is tried once more
  desk.on("back", () => unkept && kept());
  addEventListener("pagehide", () => {
    if (keep.waits()) send().catch(() => {});
  });

  // The screen stays on while somebody cuts, where the browser lets it.
  let awake;
  const wake = async () => {
    try {
      if (!awake || awake.released) awake = await navigator.wakeLock?.request("screen");
    } catch { /* it may be forbidden, or the battery low */ }
  };
  document.addEventListener("visibilitychange", () => document.hidden || wake());

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
    const gone = s && s.out ? p.steps.slice(0, made(p)).map((t) => t.out) : []; // cut out already, so that only their holes are left
    for (const l of p.leaves.filter(inside)) {
      if (gone.some((g) => g.x === l.x && g.y === l.y)) continue;
      const b = laid(l, view);
      put("rect", {x: b.x, y: b.y, width: b.w, height: b.h, class: `leaf ${l.kind}`});
      if (l.kind === "scrap") continue;
      // The code stands as the piece is turned; along a narrow block where it would be too small to be read.
      const fontAt = (angle) => Math.min((angle % 180 ? b.w : b.h) * 0.6, ((angle % 180 ? b.h : b.w) * 1.2) / Math.max(l.says.length, 2), room * 1.3);
      const straight = turned(view);
      const along = straight % 180 ? 0 : -90;
      const angle = fontAt(along) > 1.6 * fontAt(straight) ? along : straight;
      const font = fontAt(angle);
      put("text", {x: 0, y: 0, "font-size": font, transform: `translate(${b.x + b.w / 2} ${b.y + b.h / 2}) rotate(${angle})`, "text-anchor": "middle", "dominant-baseline": "central"}, l.says);
    }
    if (!s) return;
    if (s.out) {
      put("rect", {x: s.out.x, y: s.out.y, width: s.out.w, height: s.out.h, class: "blade out"});
      return;
    }
    put("rect", {x: -room * 0.9, y: -room * 0.7, width: room * 0.85, height: size.h + room * 1.4, class: "fence"});
    const near = s.down ? s.at - s.part.x : s.at - s.part.y;
    const cut = s.far ? size.w - near : near;
    put("line", {x1: cut, x2: cut, y1: -room * 0.8, y2: size.h + room * 0.8, class: s.skip ? "blade skip" : "blade", "stroke-width": room / 5});
    const y = size.h + room * 1.1;
    put("path", {d: `M0 ${y - room / 3}v${(room * 2) / 3}M0 ${y}H${cut}M${cut} ${y - room / 3}v${(room * 2) / 3}`, class: "measure", "stroke-width": room / 9});
  };

  const choose = at("piece");
  const list = () => {
    choose.length = Math.min(choose.length, pieces.length);
    pieces.forEach((p, i) => {
      const text = p.title + (!left(p) ? ", done" : made(p) ? `, ${cutsMade(p)} of ${cutsIn(p.steps)} cuts done` : "");
      if (!choose.options[i]) choose.append(new Option(text, String(i)));
      else if (choose.options[i].text !== text) choose.options[i].text = text;
    });
    choose.value = String(piece);
  };
  // What the trimmer is set to is as wide as there is room, so that it is read from afar; a text of its width at 100 px says how large that is.
  const fit = () => {
    const set = at("set");
    set.style.fontSize = "100px";
    set.style.whiteSpace = "nowrap";
    const range = document.createRange();
    range.selectNodeContents(set);
    const wide = range.getBoundingClientRect().width || 1;
    const size = Math.min((set.clientWidth / wide) * 98, innerHeight * (innerWidth < innerHeight ? 0.11 : 0.28));
    const far = parseFloat(getComputedStyle(at("edge")).fontSize);
    set.style.fontSize = `${Math.floor(size < far ? far * 0.6 : size)}px`;
    if (size < far) set.style.whiteSpace = "normal"; // words, and no measure of the trimmer
  };
  addEventListener("resize", fit);

  const show = () => {
    const p = pieces[piece];
    const n = made(p);
    const s = p.steps[n];
    const cuts = pieces.reduce((sum, q) => sum + cutsIn(q.steps), 0);
    const cut = pieces.reduce((sum, q) => sum + cutsMade(q), 0);
    const open = pieces.some(left);
    at("which").textContent = s && s.skip ? "No cut here" : s ? `${s.out ? "Cut out" : "Cut"} ${cutsMade(p) + 1} of ${cutsIn(p.steps)}` : p.steps.length ? "All cut" : "No cut";
    at("title").textContent = p.title;
    at("edge").textContent = s ? s.edge : "";
    at("fence").textContent = s ? (s.out ? "with scissors" : "against the fence") : "";
    at("set").textContent = s ? (s.skip ? "skip" : s.set) : "\u2713";
    at("line").textContent = s ? s.line : open ? "" : "Everything is cut";
    at("gives").textContent = s && s.out ? s.why : s ? `${s.why} Against the fence: ${s.fence}. On the other side: ${s.other}.` : p.steps.length ? "" : "The piece is the block.";
    at("remark").textContent = p.note || "";
    at("remark").hidden = !p.note;
    at("done").textContent = s ? "Done" : "Next piece";
    at("done").hidden = !s && !open;
    at("on").hidden = !at("done").hidden;
    at("anew").hidden = !n;
    at("all").max = cuts || 1;
    at("all").value = cut;
    at("all-says").textContent = `${cut} of ${cuts} cuts done in all`;
    drawn.setAttribute("aria-label", s && s.out ? `The piece; ${s.edge} is cut out of it, ${s.set}` : s ? `The part in hand, ${s.edge.toLowerCase()} against the fence; it is cut at ${s.set}` : "The piece with all that is on it");
    draw(p, s);
    list();
    fit();
    wake();
  };
  const go = (to) => {
    piece = Math.min(Math.max(to, 0), pieces.length - 1);
    show();
    kept();
  };
  const mark = (n) => {
    if (waits()) return;
    turns++;
    done[pieces[piece].key] = here[pieces[piece].key] = n;
    show();
    kept();
  };
  const next = () => {
    const p = pieces[piece];
    if (left(p)) mark(made(p) + 1);
    else if (piece + 1 < pieces.length) go(piece + 1);
    else { // what was passed over comes last
      const open = pieces.findIndex(left);
      if (open >= 0) go(open);
    }
  };
  const back = () => {
    const n = made(pieces[piece]);
    if (n) mark(n - 1);
    else go(piece - 1);
  };
  // After a press by hand the space bar goes on, and does not do what was pressed once more.
  const byHand = (e) => e.detail > 0 && at("main").focus();
  at("done").addEventListener("click", next);
  at("back").addEventListener("click", (e) => {
    back();
    byHand(e);
  });
  at("anew").addEventListener("click", (e) => {
    mark(0);
    byHand(e);
  });
  at("hand").addEventListener("click", (e) => e.detail < 2 && next()); // a tap that is doubled is one
  let pointed = false;
  choose.addEventListener("pointerdown", () => (pointed = true));
  choose.addEventListener("keydown", () => (pointed = false));
  choose.addEventListener("change", () => {
    go(Number(choose.value));
    if (pointed) at("main").focus();
  });
  addEventListener("keydown", (e) => {
    if ((e.ctrlKey || e.metaKey) && !e.altKey && !e.shiftKey && e.key.toLowerCase() === "z") { // here it takes back a cut, and not what was typed
      e.preventDefault();
      e.stopImmediatePropagation();
      if (!e.repeat) back();
      return;
    }
    if (e.ctrlKey || e.metaKey || e.altKey || e.repeat || e.target.closest("select, dialog, .question")) return;
    const key = {ArrowRight: next, ArrowLeft: back, ArrowUp: () => go(piece - 1), ArrowDown: () => go(piece + 1), " ": e.target.closest("button, a") ? null : next}[e.key];
    if (!key) return;
    e.preventDefault();
    key();
  }, true);
  if (pieces.length) show();
})();
