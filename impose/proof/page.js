"use strict";
(() => {
  const $ = (id) => document.getElementById(id);
  const plain = (s) => s.normalize("NFD").replace(/[\u0300-\u036f\u00ad]/g, "").toLowerCase().replace(/\s+/g, " ");
  for (const e of document.querySelectorAll(".script")) e.hidden = false;

  // One entry for each block: what is searched, and the two fields of its answer.
  const blocks = [...document.querySelectorAll("article")].map((at) => {
    const section = at.closest(".owner");
    return {
      at, section, owner: section.dataset.owner, noted: "noted" in at.dataset, held: "held" in at.dataset, drawn: "drawn" in at.dataset,
      code: at.dataset.code, print: at.dataset.print,
      right: $(at.id + "k"), change: $(at.id + "c"), words: $(at.id + "t"), space: $(at.id + "s"), // of which only the second is always there
      text: plain([section.querySelector("h3"), ...at.querySelectorAll("h4, figcaption, .said, .typed, .notes")].map((e) => e.textContent).join(" ")),
    };
  });

  for (const b of blocks) if (b.words) b.at.querySelector(".typed")?.setAttribute("hidden", ""); // it stands in the box

  const show = () => {
    const owner = $("owner").value, noted = $("noted").checked;
    const words = plain($("find").value).split(" ").filter(Boolean);
    const seen = new Set();
    let n = 0, held = 0, marked = 0;
    for (const b of blocks) {
      if ((!owner || b.owner === owner) && b.noted) marked++;
      const on = (!owner || b.owner === owner) && (!noted || b.noted) && words.every((w) => b.text.includes(w));
      b.at.hidden = !on;
      if (on) { if (b.drawn) n++; if (b.held) held++; seen.add(b.section); }
    }
    for (const s of document.querySelectorAll(".owner")) s.hidden = !seen.has(s);
    $("none").hidden = seen.size > 0;
    $("notes").textContent = marked;
    $("count").textContent = n + (n === 1 ? " block" : " blocks") + " drawn" + (held ? ", " + held + " held back" : "");
  };
  let timer = 0;
  $("find").addEventListener("input", () => { clearTimeout(timer); timer = setTimeout(show, 120); });
  $("owner").addEventListener("change", () => { show(); tally(); });
  $("noted").addEventListener("change", show);

  // Links to a block show it, whatever was chosen.
  addEventListener("hashchange", () => {
    const e = $(decodeURIComponent(location.hash.slice(1)));
    if (!e || !e.matches("article") || !e.hidden) return;
    $("owner").value = ""; $("find").value = ""; $("noted").checked = false;
    show();
    e.scrollIntoView();
  });

  // Answers stay in this browser, where it keeps anything for files, until the row changes.
  const store = "tuckmark proof " + document.body.dataset.title;
  let kept = {};
  try { kept = JSON.parse(localStorage.getItem(store)) || {}; } catch { /* nothing is kept */ }
  const key = (b) => b.code + " " + b.print;
  const oneLine = (s) => s.trim().replace(/\s*\n\s*/g, " / ").replace(/\s+/g, " ");
  const lines = (s) => s.split("\n").map((l) => l.trim().replace(/\s+/g, " ")).join("\n").replace(/^\n+|\n+$/g, "");
  const changed = (e) => (e && lines(e.value) !== lines(e.defaultValue) ? lines(e.value) : "");
  // What is said of a block: nothing, or one line for each thing that is given, or what is to be changed, or ok.
  const said = (b) => {
    if (b.right?.checked) return ["ok"];
    const out = [], text = changed(b.words), space = changed(b.space), change = oneLine(b.change.value);
    if (text) out.push("text: " + text.replaceAll("¶", "").replaceAll("\n", " ¶ ") + " ¶¶");
    if (space) out.push("space: " + oneLine(space));
    if (change) out.push("change: " + change);
    return out;
  };
  const tally = () => {
    let right = 0, change = 0, given = 0, all = 0;
    kept = {};
    $("out").hidden = true; // it is no longer what would be copied
    const owner = $("owner").value; // whose answers are counted
    for (const b of blocks) {
      const what = said(b);
      if (!owner || b.owner === owner) {
        all++;
        if (what[0] === "ok") right++;
        else if (what.some((w) => w.startsWith("change"))) change++;
        else if (what.length) given++;
      }
      if (what.length) kept[key(b)] = [Boolean(b.right?.checked), b.change.value, b.words?.value, b.space?.value];
    }
    const open = all - right - change - given;
    $("tally").textContent = all > open ? right + " right, " + change + " to change, " + (given ? given + " filled in, " : "") + open + " open" : "No answers yet";
    try { localStorage.setItem(store, JSON.stringify(kept)); } catch { /* nor now */ }
  };
  for (const b of blocks) {
    const was = kept[key(b)];
    if (Array.isArray(was)) {
      if (b.right) b.right.checked = was[0] === true;
      b.change.value = String(was[1]);
      if (b.words && was[2] != null) b.words.value = String(was[2]);
      if (b.space && was[3] != null) b.space.value = String(was[3]);
    }
    for (const e of [b.change, b.words, b.space]) {
      e?.addEventListener("input", () => { if (b.right) b.right.checked = false; tally(); }); // what was touched last counts
    }
    b.right?.addEventListener("change", tally);
  }
  show();
  tally();

  $("close").addEventListener("click", () => { $("out").hidden = true; $("copy").focus(); });
  $("copy").addEventListener("click", async () => {
    const all = ["tuckmark answers: " + oneLine(document.body.dataset.title)];
    for (const b of blocks) for (const what of said(b)) all.push(b.code + " " + b.print + " " + what);
    all.push("end of answers");
    const text = all.join("\n") + "\n";
    $("answers").value = text;
    $("out").hidden = false;
    let done = false;
    try { await navigator.clipboard.writeText(text); done = true; } catch {
      $("answers").select();
      try { done = document.execCommand("copy"); } catch { /* by hand, then */ }
    }
    $("tally").textContent = done ? "Copied: paste it into a message" : "Copy the text below by hand";
  });
})();
