// Share out: costs are kept as they are changed, and the account goes by them; a message is copied, to be pasted where people write to each other.
"use strict";
(() => {
  const costs = document.getElementById("costs");
  const told = document.querySelector("#costs-told [role=status]");
  let gone = []; // what this page removed and nobody has put back, each with a button that does, the last of it first

  // The account and the envelopes; what is open there stays open.
  const shared = document.getElementById("shared");
  const keyOf = (e) => `${e.closest(".envelope")?.querySelector("bdi").textContent} ${e.tagName} ${e.getAttribute("aria-label") || e.textContent}`;
  const all = () => [...shared.querySelectorAll("summary, button, a, textarea, [tabindex]")];
  let shown; // as it was fetched
  const renewShared = desk.oneAtATime(async () => {
    const html = await desk.part("/part/shared");
    if (html === shown) return;
    shown = html;
    const open = new Set(all().filter((e) => e.parentElement.open).map(keyOf));
    const held = shared.contains(document.activeElement) && keyOf(document.activeElement);
    shared.innerHTML = html;
    for (const e of all()) if (e.tagName === "SUMMARY" && open.has(keyOf(e))) e.parentElement.open = true;
    if (held) (all().find((e) => keyOf(e) === held) || document.getElementById("main")).focus({preventScroll: true});
  });
  const renew = () => renewShared().catch((e) => desk.say(e.message, true));
  const line = (e) => e.closest("li, form");
  const key = (was) => was?.toLowerCase(); // names that differ by letter case alone are one
  const lineOf = (was) => [...costs.querySelectorAll("[data-was], form")].find((e) => key(e.dataset.was) === key(was));
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
  const refused = (at) => at.querySelector(".at")?.textContent; // why
  const tried = new Map(); // by a cost's name, what was sent of its fields without an answer
  const nowOf = (was) => [was, ...(tried.get(key(was))?.name || [])].map(lineOf).find(Boolean); // it may be renamed, unheard
  // seen is all that the desk may have in a line's fields, for all that the page knows: what it was told last, and what it has sent since.
  const seen = (at) => {
    const {name = [], amount = [], by = []} = tried.get(key(at.dataset.was)) || {};
    return {name, amount: [at.dataset.amount, ...amount], by: [at.dataset.by, ...by]};
  };
  // differ asks which of two shall hold where somebody else has changed the same field meanwhile. Only once a person has chosen does the line know of the
  // other's: until then it is refused and asked about again.
  const differ = (of, theirs) => {
    const {was} = of.dataset;
    for (const f of fields(of).filter((e) => e.name in theirs)) {
      const says = (value) => (f.tagName === "SELECT" ? [...f.options].find((o) => o.value === value)?.text || value : value);
      const then = () => { // the line as it is by then, which knows of the other's
        const at = lineOf(was);
        if (at) at.dataset[f.name] = theirs[f.name];
        return at;
      };
      desk.between(`cost ${was} ${f.name}`, `the ${f.name === "by" ? "way of sharing" : f.name} of ${was}`, says(f.value), says(theirs[f.name]), () => {
        if (then()) keep(then());
      }, () => {
        const at = then();
        if (!at) return;
        fields(at).find((e) => e.name === f.name).value = theirs[f.name];
        arrived(at, {[f.name]: theirs[f.name]});
        toldOf().catch((e) => desk.say(e.message, true));
      });
    }
  };
  const knows = (at, what) => {
    Object.assign(at.dataset, what);
    at.querySelector("[data-remove]").setAttribute("aria-label", `Remove ${at.dataset.was}`);
  };
  // change sends what a line came to; what is wrong with it is said at the line, and it stays as it was typed.
  const change = async (at, what, says) => {
    const before = tried.get(key(what.was));
    const sent = (name) => [...(before?.[name] || []), ...(name in what ? [what[name]] : [])].slice(-8);
    if (what.seen) tried.set(key(what.was), {name: sent("name"), amount: sent("amount"), by: sent("by")});
    try {
      const said = await desk.send("/cost", what);
      tried.delete(key(what.was));
      if (at) wrong(at, "");
      if (at?.dataset.was && said.name) knows(at, {was: said.name, amount: said.amount, by: said.by});
      told.textContent = [says, said.said].filter(Boolean).join(" ");
      return true;
    } catch (e) {
      told.textContent = "";
      if (e.status < 500) tried.set(key(what.was), before); // it has not arrived
      if (e.others) differ(at, e.others);
      else if (at) wrong(at, e.message);
      else desk.say(e.message, true);
      if (at?.dataset.was && !e.others) desk.say(`not saved: ${e.message}`, true);
      return false;
    }
  };
  // anew has the lines be as the desk has them: those that are there are changed where they stand, and where there are others now, all come anew. What is
  // typed and not kept stays, and with it what the page had there when it was typed over: what somebody else wrote since is asked about.
  const anew = async (focus) => {
    const fresh = document.createElement("template");
    fresh.innerHTML = await desk.part("/part/costs");
    const linesOf = (of) => [...of.querySelectorAll("[data-was]")];
    const names = (of) => JSON.stringify(linesOf(of).map((e) => key(e.dataset.was)));
    const waits = unsent("[data-was], form").map((at) => [at.dataset.was, others(at), {...at.dataset}, refused(at)]);
    for (const old of tried.keys()) if (!waits.some(([was]) => key(was) === old)) tried.delete(old);
    if (names(fresh.content) === names(costs)) {
      linesOf(fresh.content).forEach((from, i) => {
        const at = linesOf(costs)[i];
        const cells = typed(from, had);
        for (const f of fields(at)) if (f.value === had(f) && f.value !== cells[f.name]) f.value = cells[f.name];
        arrived(at, cells);
        knows(at, from.dataset);
      });
    } else {
      const held = costs.contains(document.activeElement) ? document.activeElement : null;
      const [was, name, marked] = held ? [line(held).dataset.was, held.name, desk.marked(held)] : [];
      costs.replaceChildren(fresh.content);
      if (held) {
        const at = nowOf(was);
        const same = at && [...at.querySelectorAll("input, select, button")].find((e) => e.name === name);
        desk.goTo(same || document.getElementById("main"), marked);
        setTimeout(() => document.activeElement === same && desk.goTo(same, marked)); // once it has its text again
      }
    }
    gone = gone.filter(({was, back}) => {
      const there = !!lineOf(was.name);
      if (there) back.remove();
      return !there;
    });
    for (const [was, cells, saw, why] of waits) {
      const at = nowOf(was);
      if (!at) {
        for (const name of Object.keys(cells)) desk.settled(`cost ${was} ${name}`);
        desk.clash(`cost ${was}`, `${was}, where you typed, was taken out or renamed elsewhere. What you typed is here, to be copied.`, Object.entries(cells), [["Let it go", () => {}]]);
        continue;
      }
      for (const f of fields(at)) {
        if (!(f.name in cells)) continue;
        if (f.value !== cells[f.name]) f.value = cells[f.name];
        if (f.value === had(f)) desk.settled(`cost ${was} ${f.name}`);
        else if (f.name in saw) at.dataset[f.name] = saw[f.name];
      }
      wrong(at, Object.keys(others(at)).length ? why : "");
      if (key(at.dataset.was) !== key(was)) {
        tried.set(key(at.dataset.was), tried.get(key(was)));
        tried.delete(key(was));
      }
    }
    if (focus) desk.lead(document.getElementById(focus), costs.querySelector("form"));
    desk.arrived();
    await renewShared();
  };
  // What is typed is sent one thing after the other, as far as it is another than the desk has.
  let sending = Promise.resolve();
  const inTurn = (f) => (sending = sending.then(f).catch((e) => desk.say(e.message, true)));
  const toldOf = desk.oneAtATime(() => {
    const done = sending.then(() => anew(""));
    sending = done.catch(() => {});
    return done;
  });
  desk.renews(toldOf);
  const arrived = (at, cells) => {
    for (const f of fields(at).filter((e) => e.name in cells)) {
      if (f.tagName !== "SELECT") f.defaultValue = cells[f.name];
      else for (const o of f.options) o.defaultSelected = o.value === cells[f.name];
    }
  };
  const keep = (of) => inTurn(async () => {
    const at = lineOf(of.dataset.was); // it may have come anew
    if (!at) return;
    const cells = others(at);
    if (!Object.keys(cells).length) wrong(at, ""); // it is typed back
    else if (await change(at, {was: at.dataset.was, ...cells, seen: seen(at)}, "Kept.")) arrived(at, cells);
    else return;
    desk.arrived();
    renew();
  });
  costs.addEventListener("change", (e) => {
    const at = line(e.target);
    if (at.dataset.was) keep(at); // else it is added first
  });
  let added = ""; // what is on its way: a second press sends it once
  costs.addEventListener("submit", (e) => {
    e.preventDefault();
    const cells = typed(e.target); // now: what is typed while earlier costs are sent is the next one
    const same = JSON.stringify(cells);
    if (same === added) return;
    added = same;
    inTurn(async () => {
      if (!await change(e.target, cells, "Added.").finally(() => { added = ""; })) return;
      for (const f of fields(e.target)) if (f.value === cells[f.name]) f.value = had(f); // what was typed meanwhile is the next one
      await anew("more-name");
    });
  });
  desk.flush = () => sending;
  desk.unsent = () => unsent("[data-was], form").length > 0;
  desk.waits = desk.unsent;
  costs.addEventListener("input", () => desk.say("typing…"));
  costs.addEventListener("focusout", () => desk.arrived());
  desk.on("back", () => unsent("[data-was]").forEach(keep));
  addEventListener("pagehide", () => {
    for (const at of unsent("[data-was]")) desk.last("/cost", {was: at.dataset.was, ...others(at), seen: seen(at)});
  });
  costs.addEventListener("click", (e) => {
    if (!e.target.closest("[data-remove]")) return;
    const at = line(e.target);
    inTurn(async () => {
      const was = {...typed(at, had), name: at.dataset.was};
      if (!await change(at, {was: was.name, remove: true}, `${was.name} is taken out.`)) return;
      const back = document.createElement("button");
      back.type = "button";
      back.className = "small fix";
      back.textContent = `Put ${was.name} back`;
      gone.unshift({was, back});
      told.after(back);
      back.addEventListener("click", () => inTurn(async () => {
        if (await change(null, was, `${was.name} is back.`)) await anew("more-name");
      }));
      at.remove();
      await anew("");
      desk.moved(costs);
      desk.lead(back);
    });
  });
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
