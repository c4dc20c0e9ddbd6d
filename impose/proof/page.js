"use strict";
(() => {
  const $ = (id) => document.getElementById(id);
  const plain = (s) => s.normalize("NFD").replace(/[\u0300-\u036f\u00ad]/g, "").toLowerCase().replace(/\s+/g, " ");
  for (const e of document.querySelectorAll(".script")) e.hidden = false;

  // One entry for each block: what is searched, and the two fields of its answer.
  const blocks = [...document.querySelectorAll("article")].map((at) => {
    const section = at.closest(".owner");
    return {
      at, section, owner: section.dataset.owner, noted: "noted" in at.dataset, code: at.dataset.code, print: at.dataset.print,
      right: $(at.id + "k"), change: $(at.id + "c"),
      text: plain([section.querySelector("h3"), ...at.querySelectorAll("h4, figcaption, .said, .notes")].map((e) => e.textContent).join(" ")),
    };
  });

  const show = () => {
    const owner = $("owner").value, noted = $("noted").checked;
    const words = plain($("find").value).split(" ").filter(Boolean);
    const seen = new Set();
    let n = 0;
    for (const b of blocks) {
      const on = (!owner || b.owner === owner) && (!noted || b.noted) && words.every((w) => b.text.includes(w));
      b.at.hidden = !on;
      if (on) { n++; seen.add(b.section); }
    }
    for (const s of document.querySelectorAll(".owner")) s.hidden = !seen.has(s);
    for (const h of document.querySelectorAll("#held li[data-owner]")) h.hidden = Boolean(owner) && h.dataset.owner !== owner;
    $("none").hidden = n > 0;
    $("count").textContent = n + " shown";
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
  const tally = () => {
    let right = 0, change = 0;
    kept = {};
    $("out").hidden = true; // it is no longer what would be copied
    const owner = $("owner").value; // whose answers are counted
    let all = 0;
    for (const b of blocks) {
      const c = oneLine(b.change.value);
      const mine = !owner || b.owner === owner;
      if (mine) {
        all++;
        if (b.right.checked) right++; else if (c) change++;
      }
      if (b.right.checked || c) kept[key(b)] = [b.right.checked, b.change.value];
    }
    $("tally").textContent = right + change ? right + " right, " + change + " to change, " + (all - right - change) + " open" : "No answers yet";
    try { localStorage.setItem(store, JSON.stringify(kept)); } catch { /* nor now */ }
  };
  for (const b of blocks) {
    const was = kept[key(b)];
    if (Array.isArray(was)) { b.right.checked = was[0] === true; b.change.value = String(was[1]); }
    b.change.addEventListener("input", () => { b.right.checked = false; tally(); }); // what was touched last counts
    b.right.addEventListener("change", tally);
  }
  tally();

  $("close").addEventListener("click", () => { $("out").hidden = true; $("copy").focus(); });
  $("copy").addEventListener("click", async () => {
    const lines = ["tuckmark answers: " + oneLine(document.body.dataset.title)];
    for (const b of blocks) {
      const c = oneLine(b.change.value);
      if (b.right.checked) lines.push(b.code + " " + b.print + " ok");
      else if (c) lines.push(b.code + " " + b.print + " change: " + c);
    }
    lines.push("end of answers");
    const text = lines.join("\n") + "\n";
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
