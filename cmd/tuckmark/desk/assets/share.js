// Share out: costs are kept as they are changed, and the account goes by them; a message is copied, to be pasted where people write to each other.
"use strict";
(() => {
  const costs = document.getElementById("costs");
  const told = document.querySelector("#costs-told [role=status]");
  const back = document.querySelector("#costs-told button");
  let gone = null; // what was removed last

  const renew = desk.oneAtATime(async () => {
    try {
      document.getElementById("shared").innerHTML = await desk.part("/part/shared");
    } catch (e) {
      desk.say(e.message, true);
    }
  });
  const line = (e) => e.closest("li, form");
  const now = (f) => f.value;
  const had = (f) => (f.tagName === "SELECT" ? ([...f.options].find((o) => o.defaultSelected) || f.options[0]).value : f.defaultValue);
  const fields = (at) => [...at.querySelectorAll("[name]")];
  const typed = (at, how = now) => Object.fromEntries(fields(at).map((f) => [f.name, how(f)]));
  const others = (at) => Object.fromEntries(fields(at).filter((f) => f.value !== had(f)).map((f) => [f.name, f.value])); // than the desk has
  const unsent = (which) => [...costs.querySelectorAll(which)].filter((at) => Object.keys(others(at)).length);
  const wrong = (at, text) => {
    at.querySelector(".at")?.remove();
    const inputs = at.querySelectorAll("input");
    for (const f of inputs) {
      f.toggleAttribute("aria-invalid", false);
      f.removeAttribute("aria-describedby");
    }
    if (!text) return;
    const p = document.createElement("p");
    p.className = "at mend";
    p.id = `${inputs[0].id}-at`;
    p.textContent = text;
    at.append(p);
    for (const f of inputs) {
      f.setAttribute("aria-invalid", "true");
      f.setAttribute("aria-describedby", p.id);
    }
  };
  // seen is what the page was told last of the fields that were typed over.
  const seen = (at, cells) => Object.fromEntries(["amount", "by"].filter((name) => name in cells).map((name) => [name, at.dataset[name]]));
  // differ asks which of two shall hold where somebody else has changed the same field meanwhile. Only once a person has chosen does the line know of the
  // other's: until then it is refused and asked about again.
  const differ = (at, theirs) => {
    for (const f of fields(at).filter((e) => e.name in theirs)) {
      const says = (value) => (f.tagName === "SELECT" ? [...f.options].find((o) => o.value === value)?.text || value : value);
      const know = () => { at.dataset[f.name] = theirs[f.name]; };
      desk.between(`cost ${at.dataset.was} ${f.name}`, `the ${f.name === "by" ? "way of sharing" : f.name} of ${at.dataset.was}`, says(f.value), says(theirs[f.name]), () => {
        know();
        keep(at);
      }, () => {
        know();
        f.value = theirs[f.name];
        arrived(at, {[f.name]: theirs[f.name]});
        renew();
      });
    }
  };
  // change sends what a line came to; what is wrong with it is said at the line, and it stays as it was typed.
  const change = async (at, what, says) => {
    try {
      const said = await desk.send("/cost", what);
      if (at) wrong(at, "");
      if (at && said.by) Object.assign(at.dataset, {amount: said.amount, by: said.by});
      gone = null;
      back.hidden = true;
      told.textContent = [says, said.said].filter(Boolean).join(" ");
      return true;
    } catch (e) {
      if (e.others) differ(at, e.others);
      else if (at) wrong(at, e.message);
      else desk.say(e.message, true);
      return false;
    }
  };
  const anew = async (focus) => {
    try {
      const html = await desk.part("/part/costs");
      const waits = unsent("[data-was], form").map((at) => [at.dataset.was, others(at)]);
      costs.innerHTML = html;
      for (const [was, cells] of waits) { // what could not be kept yet stays as it was typed
        const at = [...costs.querySelectorAll("[data-was], form")].find((e) => e.dataset.was === was);
        if (at) for (const f of fields(at)) if (f.name in cells) f.value = cells[f.name];
      }
      document.getElementById(focus)?.focus();
    } catch (e) {
      desk.say(e.message, true);
    }
    renew();
  };
  // What is typed is sent one thing after the other, as far as it is another than the desk has.
  let sending = Promise.resolve();
  const inTurn = (f) => (sending = sending.then(f));
  const arrived = (at, cells) => {
    for (const f of fields(at).filter((e) => e.name in cells)) {
      if (f.tagName !== "SELECT") f.defaultValue = cells[f.name];
      else for (const o of f.options) o.defaultSelected = o.value === cells[f.name];
    }
  };
  const keep = (at) => inTurn(async () => {
    const cells = others(at);
    if (!Object.keys(cells).length || !await change(at, {was: at.dataset.was, ...cells, seen: seen(at, cells)}, "Kept.")) return;
    arrived(at, cells);
    if (cells.name) at.dataset.was = cells.name.trim().replace(/\s+/g, " ");
    at.querySelector("[data-remove]").setAttribute("aria-label", `Remove ${at.dataset.was}`);
    renew();
  });
  costs.addEventListener("change", (e) => {
    const at = line(e.target);
    if (at.dataset.was) keep(at); // else it is added first
  });
  costs.addEventListener("submit", (e) => {
    e.preventDefault();
    inTurn(async () => {
      const cells = typed(e.target);
      if (!await change(e.target, cells, "Added.")) return;
      for (const f of fields(e.target)) if (f.value === cells[f.name]) f.value = had(f); // what was typed meanwhile is the next one
      await anew("more-name");
    });
  });
  desk.flush = () => sending;
  desk.unsent = () => unsent("[data-was], form").length > 0;
  desk.on("back", () => unsent("[data-was]").forEach(keep));
  addEventListener("pagehide", () => {
    for (const at of unsent("[data-was]")) {
      const cells = others(at);
      desk.last("/cost", {was: at.dataset.was, ...cells, seen: seen(at, cells)});
    }
  });
  costs.addEventListener("click", (e) => {
    if (!e.target.closest("[data-remove]")) return;
    const at = line(e.target);
    inTurn(async () => {
      const was = {...typed(at, had), name: at.dataset.was};
      if (!await change(at, {was: was.name, remove: true}, `${was.name} is taken out.`)) return;
      gone = was;
      back.hidden = false;
      at.remove();
      await anew("");
      back.focus();
    });
  });
  back.addEventListener("click", () => inTurn(async () => {
    if (await change(null, gone, "It is back.")) await anew("more-name");
  }));
})();

document.getElementById("main").addEventListener("click", async (e) => {
  const b = e.target.closest("[data-copy]");
  if (!b) return;
  const card = b.closest(".envelope");
  const text = card.querySelector("textarea");
  const said = card.querySelector("[role=status]");
  try {
    await navigator.clipboard.writeText(text.value);
    said.textContent = "Copied.";
  } catch { // the browser does not allow it: then it is ready to be copied by hand
    card.querySelector("details").open = true;
    text.focus();
    text.select();
    said.textContent = "Press Ctrl+C to copy it.";
  }
});
