// The journaling: a person's blocks, and the editor of the block in hand. The picture follows what is typed; what is typed is kept when the hand
// rests, and at once when it goes elsewhere.
"use strict";
(() => {
  const blocks = document.getElementById("blocks");
  const people = document.getElementById("people");
  const form = document.getElementById("editor");
  const nothing = document.getElementById("no-hand");
  const fit = document.getElementById("fit");
  const now = document.getElementById("now");

  const told = document.getElementById("told"); // what readers hear of the fit, once the hand rests
  let heard = 0;

  let who = blocks.dataset.who;
  let hand = ""; // id of the block in hand
  let stays = true; // in the list, whosever it has become: its name may be being typed
  let made = ""; // id of a block that was made, and is taken in hand next
  let cells = {}; // its cells as the page shows them
  // What was typed and has not arrived: cells by their headings, by the ids of their rows. It waits for the desk also when another block is in hand.
  const unsent = new Map();
  // What may stand in those cells at the desk, as lists: what was there when they were typed, and what was sent without an answer.
  const seen = new Map();
  const clashes = new Map(); // what is not sent until the person has chosen: what others have in the cells, by headings, by ids
  const gone = new Set(); // ids of rows that were removed elsewhere: what was typed in them is not sent until they are back or the person has chosen
  const typedIn = new Map(); // of rows in which something was typed, all cells as the page showed them last, by ids
  let last = ""; // the list as it came from the desk, while it stands there like that
  let underway = null; // of one row, what is being sent
  let sends = 0; // how often something was sent
  let trialOf = ""; // the id that the last trial was of

  const item = (id) => blocks.querySelector(`[data-id="${CSS.escape(id)}"]`);
  const waiting = (id) => ({...(underway?.id === id ? underway.cells : {}), ...unsent.get(id)}); // of a row, what the desk does not have
  const fields = () => [...form.elements].filter((e) => e.name);

  // True proportion: all blocks shrink together where the widest finds no room.
  const largest = 12 * 96; // a space wider than 12 in is a mistake, and must not make the others small
  const size = () => {
    const list = blocks.querySelector(".list");
    if (!list) return;
    const room = list.clientWidth;
    let widest = 1;
    for (const b of list.children) {
      const w = Number(b.dataset.width) || 0;
      if (w <= largest) widest = Math.max(widest, w);
    }
    const grow = room > 1500 ? 1.35 : room > 1100 ? 1.2 : 1;
    const scale = Math.min(grow, room / widest);
    for (const img of list.querySelectorAll("img")) {
      const w = Number(img.closest(".block").dataset.width);
      img.style.width = `${Math.min(w * scale, room)}px`;
    }
  };
  addEventListener("resize", size);

  const show = (id) => {
    for (const b of blocks.querySelectorAll(".block")) b.querySelector(".take").setAttribute("aria-pressed", String(b.dataset.id === id));
  };

  // write puts a text into a field; who types there goes on where the hand is, though the text came back in order, without what no cell can hold.
  const write = (e, text) => {
    const was = e.value;
    const [from, to] = e === document.activeElement && e.tagName !== "SELECT" ? [e.selectionStart, e.selectionEnd] : [];
    e.value = text;
    if (from === undefined) return;
    let same = 0, end = 0; // letters at the beginning and at the end that are as they were
    while (same < was.length && was[same] === text[same]) same++;
    while (end < was.length - same && end < text.length - same && was[was.length - 1 - end] === text[text.length - 1 - end]) end++;
    const at = (n) => (n <= same ? n : Math.max(same, text.length - Math.min(was.length - n, end)));
    e.setSelectionRange(at(from), at(to));
  };
  // fill puts the cells of the row into the editor.
  const fill = () => {
    for (const e of fields()) {
      const value = cells[e.name] || "";
      if (e.type === "radio") {
        e.checked = e.value === value;
        continue;
      }
      if (e.tagName === "SELECT" && value && ![...e.options].some((o) => o.value === value || o.text === value)) e.add(new Option(value));
      if (e.value !== value) write(e, value);
    }
    if (!cells.Stock) {
      const first = form.querySelector("input[name=Stock]");
      if (first) first.checked = true;
    }
    for (const e of form.querySelectorAll("[data-only]")) e.hidden = !cells[e.dataset.only];
  };

  const take = async (id, focus) => {
    const left = id !== hand && item(hand)?.dataset.elsewhere !== undefined; // it goes to whose it has become
    if (id !== hand) await flush();
    const b = item(id);
    hand = b ? id : "";
    if (left) refresh();
    form.hidden = !b;
    nothing.hidden = !!b;
    show(hand);
    if (!b) return;
    cells = {...JSON.parse(b.dataset.cells), ...waiting(id)};
    fill();
    if (trialOf !== id) tryNow();
    if (focus) {
      form.elements.Journaling.focus({preventScroll: false});
      form.scrollIntoView({block: "nearest"});
    }
  };

  // Trials: one at a time, and of what was typed meanwhile only the newest.
  let busy = false, again = false;
  const tryNow = async () => {
    if (busy) {
      again = true;
      return;
    }
    busy = true;
    do {
      again = false;
      const id = hand;
      if (!id) break;
      try {
        const said = await desk.send("/try", {cells});
        if (id === hand) await apply(id, said);
      } catch (e) {
        if (e.status !== 429) desk.say(e.message, true);
        else await new Promise((done) => setTimeout(done, 300));
      }
    } while (again);
    busy = false;
  };

  const apply = async (id, said) => {
    if (said.picture) {
      const next = new Image();
      next.src = said.picture;
      try {
        await next.decode();
      } catch { return; }
      if (id !== hand) return;
      let img = item(id)?.querySelector("img");
      const b = item(id);
      if (b && !img) {
        img = new Image();
        img.alt = "";
        b.querySelector(".plain")?.replaceWith(img);
      }
      if (b) {
        b.dataset.width = said.width;
        last = "";
      }
      for (const i of [img, now]) {
        if (!i) continue;
        i.width = said.width;
        i.height = said.height;
        i.src = said.picture;
      }
      now.hidden = false;
      size();
    } else {
      now.hidden = true;
    }
    trialOf = id;
    const b = item(id)?.querySelector(".take");
    if (b) b.dataset.trial = String(Number(b.dataset.trial || 0) + 1);
    fit.classList.toggle("over", said.over);
    fit.querySelector("b").textContent = said.lead;
    fit.querySelector("span").textContent = said.rest;
    clearTimeout(heard);
    heard = setTimeout(() => { told.textContent = `${said.lead} ${said.rest}`; }, 1200);
    found(said.found || []);
  };

  // found puts each thing that is wrong beside its field.
  const found = (list) => {
    form.querySelectorAll(".at").forEach((e) => e.remove());
    for (const e of fields()) {
      e.removeAttribute("aria-invalid");
      const own = e.id && document.getElementById(`${e.id}-says`) ? `${e.id}-says` : "";
      if (own) e.setAttribute("aria-describedby", own);
      else e.removeAttribute("aria-describedby");
    }
    list.forEach((f, n) => {
      let e = form.elements[f.column] || form.elements[f.column === "Space" ? "Width" : "Journaling"];
      if (e instanceof RadioNodeList) e = e[0];
      const p = document.createElement("p");
      p.className = `at ${f.kind === "mend" ? "mend" : "note"}`;
      p.id = `at-${n}`;
      p.textContent = f.what[0].toUpperCase() + f.what.slice(1) + (f.cause ? ` (${f.cause})` : "") + (f.hint ? `. To do: ${f.hint}` : "");
      (e.closest(".field") || e.closest("fieldset")).append(p);
      e.setAttribute("aria-describedby", `${e.getAttribute("aria-describedby") || ""} ${p.id}`.trim());
      if (f.kind === "mend") {
        e.setAttribute("aria-invalid", "true");
        const more = e.closest("details");
        if (more) more.open = true;
      }
    });
  };

  // Keeping: what is typed is sent when nothing was typed for a moment, and after a second at the latest.
  let later = 0, since = 0, sending = null;
  const keepSoon = () => {
    desk.say("typing…");
    const at = performance.now();
    since ||= at;
    clearTimeout(later);
    later = setTimeout(flush, Math.max(0, Math.min(400, 900 - (at - since))));
  };
  const flush = async () => {
    clearTimeout(later);
    since = 0;
    while (sending) await sending;
    if (!unsent.size) return;
    sending = sendAll().finally(() => { sending = null; });
    await sending;
  };
  const sendAll = async () => {
    let revision = 0;
    const ids = [...unsent.keys()];
    while (ids.length) {
      const id = ids.shift();
      underway = takeOut(id);
      if (!underway) continue;
      sends++;
      try {
        ({revision} = await desk.change(underway));
        underway = null;
      } catch (e) {
        desk.say(`not saved: ${e.message}`, true);
        putBack(!(e.status < 500));
        if (e.others) {
          for (const column of Object.keys(e.others)) differs(id, column, e.others[column]);
          ids.push(id); // its other cells
        } else if (e.status === 410) {
          removed(id);
        } else if (e.status !== 409) { // else no cell can hold it: until it is typed otherwise
          // The desk is away: again, until it is there.
          clearTimeout(later);
          later = setTimeout(flush, 1500);
          break;
        }
      }
    }
    if (clashes.size || gone.size) desk.say(desk.toChoose, true);
    else if (revision) desk.arrived(revision);
  };
  // message is what is to be sent of a row; null: nothing. What waits for the person to choose is not in it, or, as the page is left, nothing else: then others are asked.
  const message = (id, chosen = true) => {
    const typed = waiting(id);
    for (const column of Object.keys(typed)) if ((gone.has(id) || column in (clashes.get(id) || {})) === chosen) delete typed[column];
    const columns = Object.keys(typed);
    const saw = (column) => (underway?.id === id && column in underway.cells ? possible(column) : seen.get(id)[column]);
    return columns.length ? {id, cells: typed, seen: Object.fromEntries(columns.map((column) => [column, saw(column)]))} : null;
  };
  // takeOut is the same, and from then on it is under way.
  const takeOut = (id) => {
    const out = message(id);
    for (const column of Object.keys(out?.cells || {})) drop(unsent, id, column);
    return out;
  };
  // drop takes a cell out of a map of rows.
  const drop = (of, id, column) => {
    const left = {...of.get(id)};
    delete left[column];
    if (Object.keys(left).length) of.set(id, left);
    else of.delete(id);
  };
  // possible is what may stand in a cell of what is under way, if that may have arrived. What was there first counts, and what was sent last.
  const mostText = 32_767; // what a cell can hold at most
  const possible = (column) => {
    const [first, ...tried] = underway.seen[column];
    const text = underway.cells[column];
    return text.length > mostText ? underway.seen[column] : [first, ...[...tried.filter((t) => t !== text), text].slice(-2)];
  };
  // putBack puts what was under way back to what was not sent; came says that it may have arrived all the same.
  const putBack = (came) => {
    const {id, cells: typed} = underway;
    unsent.set(id, {...typed, ...unsent.get(id)});
    seen.set(id, {...seen.get(id), ...(came ? Object.fromEntries(Object.keys(typed).map((column) => [column, possible(column)])) : underway.seen)});
    underway = null;
  };
  const forget = (id) => {
    for (const column of Object.keys(clashes.get(id) || {})) desk.settled(`${id} ${column}`);
    desk.settled(id);
    for (const of of [unsent, clashes, gone]) of.delete(id);
  };
  const called = (id) => item(id)?.querySelector(".facts b")?.textContent || "a block that is gone";
  // shows puts back what was typed in cells of a row to other texts, until the list says what the desk has by now.
  const shows = (id, texts) => {
    const b = item(id);
    if (b) b.dataset.cells = JSON.stringify({...JSON.parse(b.dataset.cells), ...texts});
    if (id === hand) {
      Object.assign(cells, texts);
      fill();
      tryNow();
    }
    last = "";
    refresh();
  };
  // differs asks about a cell in which somebody else wrote meanwhile.
  const differs = (id, column, theirs) => {
    clashes.set(id, {...clashes.get(id), [column]: theirs});
    desk.between(`${id} ${column}`, `${column} of ${called(id)}`, unsent.get(id)[column], theirs, () => {
      seen.get(id)[column] = [theirs];
      drop(clashes, id, column);
      flush();
    }, () => {
      drop(clashes, id, column);
      drop(unsent, id, column);
      shows(id, {[column]: theirs});
      if (!clashes.size) desk.arrived();
    });
  };
  // removed keeps what was typed in a row that is gone in sight, as it stands now; an answer is about that, and about nothing that was typed since.
  const removed = (id) => {
    for (const column of Object.keys(clashes.get(id) || {})) desk.settled(`${id} ${column}`); // which of two is asked again where the row is back
    clashes.delete(id);
    gone.add(id);
    const typed = {...unsent.get(id)};
    const answered = () => {
      const meant = Object.keys(typed).filter((column) => unsent.get(id)?.[column] === typed[column]);
      for (const column of meant) drop(unsent, id, column);
      if (!unsent.has(id)) forget(id);
      else if (gone.has(id)) removed(id);
      shows(id, Object.fromEntries(meant.map((column) => [column, seen.get(id)[column][0]])));
      desk.arrived();
    };
    desk.clash(id, "A block in which you typed was removed elsewhere. What you typed is here, to be copied or put into a new block.", Object.entries(typed), [
      ["Put it into a new block", async () => {
        await refresh(); // the new one cannot stand behind one that is gone
        if (!gone.has(id)) return; // it is back, with what was typed
        if (await add({...typedIn.get(id), ...typed, Kept: undefined})) answered();
        else removed(id);
      }],
      ["Let it go", answered],
    ]);
  };
  // asked looks at what waits for an answer, once a list has come: a row that is back takes what was typed in it, and where the other text is another by
  // now, or is taken back, the question is too.
  const asked = () => {
    let send = false;
    for (const id of gone) {
      if (!item(id)) continue;
      gone.delete(id);
      desk.settled(id);
      send = true;
    }
    for (const [id, theirs] of clashes) {
      if (!item(id)) continue;
      const has = JSON.parse(item(id).dataset.cells);
      for (const column of Object.keys(theirs)) {
        const text = has[column] || "";
        if (text === theirs[column]) continue;
        if (text !== unsent.get(id)[column] && !seen.get(id)[column].includes(text)) {
          differs(id, column, text);
          continue;
        }
        drop(clashes, id, column);
        desk.settled(`${id} ${column}`);
        send = true;
      }
    }
    if (send) flush();
  };
  desk.flush = flush;
  desk.unsent = () => unsent.size > 0 || !!underway;
  // A page that goes can wait for nothing: what is under way is sent once more, since its request may end with the page.
  addEventListener("pagehide", () => {
    for (const id of new Set([...(underway ? [underway.id] : []), ...unsent.keys()])) {
      for (const out of [message(id), message(id, false)]) if (out) desk.last("/change", {...out, left: true});
    }
  });

  form.addEventListener("input", (e) => {
    const f = e.target;
    if (!f.name) return;
    if (!(f.name in (unsent.get(hand) || {}))) seen.set(hand, {...seen.get(hand), [f.name]: [cells[f.name] || ""]});
    cells[f.name] = f.value;
    typedIn.set(hand, {...cells});
    unsent.set(hand, {...unsent.get(hand), [f.name]: f.value});
    const b = item(hand);
    if (b) b.dataset.cells = JSON.stringify(cells);
    last = "";
    tryNow();
    const theirs = clashes.get(hand)?.[f.name];
    if (gone.has(hand)) removed(hand);
    else if (theirs === undefined) keepSoon();
    else differs(hand, f.name, theirs);
  });
  form.addEventListener("change", () => flush());
  form.addEventListener("submit", (e) => e.preventDefault());

  // Bold and italic are signs round the words.
  const mark = (sign) => {
    const t = form.elements.Journaling;
    const from = t.selectionStart, to = t.selectionEnd;
    const words = t.value.slice(from, to);
    const core = words.trim();
    const bare = core.length > 1 && core.startsWith(sign) && core.endsWith(sign);
    const put = bare ? core.slice(1, -1) : sign + core + sign;
    const at = from + words.indexOf(core);
    t.setRangeText(put, at, at + core.length, "select");
    if (!core) t.setSelectionRange(at + 1, at + 1);
    t.dispatchEvent(new Event("input", {bubbles: true}));
    t.focus();
  };
  form.addEventListener("click", (e) => {
    const b = e.target.closest("[data-mark]");
    if (b) mark(b.dataset.mark);
  });
  form.elements.Journaling.addEventListener("keydown", (e) => {
    if ((e.ctrlKey || e.metaKey) && (e.key === "b" || e.key === "i")) {
      e.preventDefault();
      mark(e.key === "b" ? "*" : "_");
    }
  });

  blocks.addEventListener("click", (e) => {
    const b = e.target.closest(".take");
    if (b) take(b.closest(".block").dataset.id, true);
    else if (e.target.closest("#add")) add();
    else if (e.target.closest("#more-files")) desk.open(dialog);
  });

  // shownOf notes whose blocks are shown.
  const shownOf = (key) => {
    who = key;
    blocks.dataset.who = key;
    history.replaceState(null, "", `/journaling?who=${encodeURIComponent(key)}`);
  };
  // put shows a list and the people.
  const put = (list, names) => {
    const focused = blocks.contains(document.activeElement) ? document.activeElement : null;
    const id = focused?.closest(".block")?.dataset.id, key = focused?.id;
    const whose = people.contains(document.activeElement) ? document.activeElement.dataset.who : null;
    const kept = new Map([...blocks.querySelectorAll("img")].map((i) => [i.getAttribute("src"), i]));
    const old = item(hand)?.querySelector("img");
    blocks.innerHTML = list;
    people.innerHTML = names;
    const chosen = people.querySelector("[aria-current]")?.dataset.who; // nobody has the name any more that was asked for
    if (chosen && chosen !== who) shownOf(chosen);
    for (const i of blocks.querySelectorAll("img")) { // a picture that is there already does not blink
      const had = kept.get(i.getAttribute("src"));
      if (had) {
        i.replaceWith(had);
        had.width = i.width;
        had.height = i.height;
      }
    }
    const img = item(hand)?.querySelector("img");
    if (old && img && (Object.keys(waiting(hand)).length || busy)) { // the picture of the last letter is newer
      img.replaceWith(old);
      last = "";
    }
    show(hand);
    size();
    const back = id ? item(id)?.querySelector(".take") : key && document.getElementById(key);
    if (back) back.focus({preventScroll: true});
    if (whose !== null) ([...people.querySelectorAll("[data-who]")].find((e) => e.dataset.who === whose) || document.getElementById("main")).focus({preventScroll: true});
  };
  // After a change the list comes anew from the desk; what is typed meanwhile stays. Whoever waits for it has the list of after the asking.
  const refresh = desk.oneAtATime(async () => {
    try {
      const q = `?who=${encodeURIComponent(who)}${stays && (made || hand) ? `&hand=${encodeURIComponent(made || hand)}` : ""}`;
      let list, names, before;
      do { // what was sent meanwhile may not be in it
        while (sending) await sending;
        before = sends;
        [list, names] = await Promise.all([desk.part(`/part/blocks${q}`), desk.part(`/part/people${q}`)]);
        if (refresh.waits()) return;
      } while (before !== sends);
      if (list + names !== last) {
        last = list + names;
        put(list, names);
      }
      asked();
      const b = item(hand);
      if (b) { // also where the list is the same: what was typed may have been taken back before any list had it
        const fresh = {...JSON.parse(b.dataset.cells), ...waiting(hand)};
        if (JSON.stringify(fresh) !== JSON.stringify(cells)) {
          cells = fresh;
          fill();
          if (!unsent.has(hand)) tryNow();
        }
      } else if (hand) {
        take("");
      }
    } catch (e) {
      desk.say(e.message, true);
    }
  });
  desk.on("laid", refresh);

  people.addEventListener("click", async (e) => {
    const a = e.target.closest("[data-who]");
    if (!a) return;
    e.preventDefault();
    await flush();
    shownOf(a.dataset.who);
    stays = false;
    await refresh();
    stays = true;
    people.querySelector("[aria-current]")?.focus();
    if (!item(hand)) take("");
  });

  const add = async (from) => {
    await flush();
    await refresh.running(); // the list of whoever was pressed last
    const all = [...blocks.querySelectorAll(".block")];
    const own = all.filter((e) => e.dataset.elsewhere === undefined); // of whom the page shows
    const b = own.find((e) => e.dataset.id === hand) || own.pop() || all.pop();
    const like = from || {};
    if (!from && b && who !== "all") {
      const had = JSON.parse(b.dataset.cells);
      for (const n of ["Name", "Surname", "Page", "Stock"]) if (had[n]) like[n] = had[n];
    }
    const said = await desk.act("/add", {after: b ? b.dataset.id : "", cells: like});
    if (!said) return;
    made = said.id;
    await refresh();
    await take(said.id, true);
    made = "";
    return said;
  };
  document.getElementById("copy").addEventListener("click", () => add({...cells, Kept: undefined, Hold: undefined})); // a place is for one
  document.getElementById("remove").addEventListener("click", async () => {
    const id = hand;
    const all = [...blocks.querySelectorAll(".block")];
    const next = all[all.findIndex((b) => b.dataset.id === id) + 1];
    await flush();
    const shown = JSON.parse(item(id)?.dataset.cells || "{}");
    const saw = Object.fromEntries(Object.keys({...shown, ...cells}).map((column) => [column, [shown[column] || "", cells[column] || ""]]));
    await desk.remove({id}, saw, async () => {
      forget(id);
      await refresh();
      await take(next ? next.dataset.id : "");
      desk.moved(form); // it shows another block
      desk.lead(item(hand)?.querySelector(".take") || document.getElementById("add"));
    });
  });
  const move = async (by) => {
    const all = [...blocks.querySelectorAll(".block")].map((b) => b.dataset.id);
    const at = all.indexOf(hand);
    const after = by < 0 ? (at > 1 ? all[at - 2] : "^") : all[at + 1];
    if (at + by < 0 || at + by >= all.length) return;
    await desk.act("/move", {id: hand, after});
    refresh();
  };
  document.getElementById("up").addEventListener("click", () => move(-1));
  document.getElementById("down").addEventListener("click", () => move(1));

  const dialog = document.getElementById("take-in");
  dialog.querySelector("[data-close]").addEventListener("click", () => dialog.close());
  desk.take("/take/drop", "/take/paste", (said) => {
    const remarks = said.problems || [];
    const bad = remarks.some((p) => p.kind === "mend");
    if (remarks.length) {
      desk.problems(document.getElementById("wrong"), bad ? "Not everything was taken over." : "Added. Please read this:", remarks);
      if (!dialog.open) desk.open(dialog);
    } else {
      dialog.close();
    }
    who = "all";
    refresh();
    return !bad;
  });

  size();
})();
