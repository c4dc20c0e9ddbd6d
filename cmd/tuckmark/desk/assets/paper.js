// Paper: rows of paper are kept as they are changed; what is drawn comes anew when the job was laid.
"use strict";
(() => {
  const rows = document.getElementById("rows");

  let sends = 0; // how often something was sent
  let sending = Promise.resolve();

  const renew = async (at, path) => {
    try {
      let html, before;
      do { // what was sent meanwhile may not be in it
        await sending;
        before = sends;
        html = await desk.part(path);
      } while (before !== sends);
      if (at.querySelector("[data-typed]")) return; // somebody types there, or it could not be sent yet
      const f = at.contains(document.activeElement) ? document.activeElement : null;
      const id = f?.closest("[data-id]")?.dataset.id;
      const marked = f && desk.marked(f);
      desk.put(at, html);
      if (id) desk.goTo(at.querySelector(`[data-id="${CSS.escape(id)}"] ${f.name ? `[name="${f.name}"]` : "[data-remove]"}`) || document.getElementById("main"), marked);
      else if (f?.id) document.getElementById(f.id)?.focus();
    } catch (e) {
      desk.say(e.message, true);
    }
  };
  desk.on("laid", () => renew(rows, "/part/paper"));

  const textOf = (f) => (f.type === "checkbox" ? (f.checked ? "yes" : "") : f.value);
  const idOf = (f) => f.closest("[data-id]").dataset.id;
  const tried = new WeakMap(); // of a field, the texts that were sent without an answer
  const wasOf = (f) => f.dataset.was ?? f.defaultValue; // the cell as the page saw it
  const changeOf = (f) => ({sheet: "paper", id: idOf(f), cells: {[f.name]: textOf(f)}, seen: {[f.name]: [wasOf(f), ...(tried.get(f) || [])]}});
  // settle has a field be as the desk has it.
  const settle = (f, text) => {
    f.dataset.was = text;
    tried.delete(f);
    if (textOf(f) === text) delete f.dataset.typed;
  };
  const show = (f, text) => {
    if (f.type === "checkbox") f.checked = !!text;
    else f.value = text;
    settle(f, text);
    delete f.dataset.typed; // also where the field cannot show it
    desk.arrived();
    renew(rows, "/part/paper");
  };
  // removed keeps what was typed in a row that is gone in sight.
  const gone = new Map(); // what was typed there, as it was to be sent
  const removed = (f, text) => {
    const key = `${idOf(f)} ${f.name}`, change = changeOf(f);
    delete f.dataset.typed;
    const asks = () => {
      gone.set(key, change);
      desk.clash(key, "A row in which you typed was removed elsewhere. What you typed is here, to be copied or put into a new row.", [[f.name, text]], [
        ["Put it into a new row", async () => {
          gone.delete(key);
          await add({Stock: stock(), [f.name]: text}) || asks();
        }],
        ["Let it go", () => gone.delete(key)],
      ]);
    };
    asks();
    renew(rows, "/part/paper");
  };
  // keep sends what stands in a field, one after the other, and again until the desk has it.
  const keep = (f) => {
    f.dataset.typed = "left";
    desk.say("saving…");
    sending = sending.then(async () => {
      const text = textOf(f), was = wasOf(f);
      let revision = 0;
      sends++;
      try {
        ({revision} = await desk.change(changeOf(f)));
        settle(f, text);
      } catch (e) {
        if (e.others && wasOf(f) !== was) return; // meanwhile the person has chosen
        desk.say(`not saved: ${e.message}`, true);
        if (e.others) {
          const theirs = e.others[f.name];
          desk.between(`${idOf(f)} ${f.name}`, f.name, text, theirs, () => {
            settle(f, theirs);
            keep(f);
          }, () => show(f, theirs));
        } else if (e.status === 410) {
          removed(f, text);
        } else if (e.status !== 409) { // else no cell can hold it: it stays in its field, until it is typed otherwise
          if (!(e.status < 500)) tried.set(f, [...(tried.get(f) || []).slice(-8), text]);
          setTimeout(keep, 1500, f);
        }
      }
      if (revision) desk.arrived(revision);
    });
  };
  desk.flush = () => Promise.all([sending, measuring]);
  desk.unsent = () => !!rows.querySelector("[data-typed]") || measures().length > 0;
  desk.waits = () => measures().length > 0;
  addEventListener("pagehide", () => {
    for (const f of rows.querySelectorAll("[data-typed]")) desk.last("/change", {...changeOf(f), left: true});
    for (const change of gone.values()) desk.last("/change", {...change, left: true});
    for (const f of measures()) desk.last("/machine", measureOf(f));
  });

  rows.addEventListener("input", (e) => {
    if (!e.target.name) return;
    e.target.dataset.typed = "typing";
    desk.say("typing…");
  });
  rows.addEventListener("focusout", (e) => {
    if (e.target.dataset.typed === "typing") keep(e.target); // it was typed back to what it was, which changes nothing
  });
  rows.addEventListener("change", (e) => {
    if (e.target.name) keep(e.target);
  });
  rows.addEventListener("click", async (e) => {
    const b = e.target.closest("[data-remove]");
    if (!b) return;
    await desk.flush();
    const fields = [...b.closest("[data-id]").querySelectorAll("[name]")];
    await desk.remove({sheet: "paper", id: idOf(b)}, Object.fromEntries(fields.map((f) => [f.name, [wasOf(f), textOf(f)]])), async () => {
      await renew(rows, "/part/paper");
      desk.lead(document.getElementById("add-sheet"));
    });
  });
  // Measures of the printers and the trimmer; what is no measure is said at its field. Each is sent one after the other, with what the page had there.
  const machines = document.getElementById("machines-list");
  const all = (at = machines) => [...at.querySelectorAll("[data-key]")];
  const keyOf = (f) => `${f.closest("[data-printer]").dataset.printer} ${f.dataset.key}`;
  const had = (f) => (f.tagName === "SELECT" ? [...f.options].find((o) => o.defaultSelected).value : f.defaultValue);
  const has = (f, text) => { // the desk has that
    if (f.tagName !== "SELECT") f.defaultValue = text;
    else for (const o of f.options) o.defaultSelected = o.value === text;
  };
  const called = (f) => f.labels[0].textContent;
  const measures = () => all().filter((f) => f.value !== had(f)); // that the desk does not have
  const saw = new Map(); // of a measure that was typed over, all that the desk may have there for all that the page knows
  const measureOf = (f) => ({printer: f.closest("[data-printer]").dataset.printer, key: f.dataset.key, text: f.value, seen: saw.get(keyOf(f)) || [had(f)]});
  const wrong = (f, why = "") => {
    const field = f.closest(".field");
    field.querySelector(".at")?.remove();
    f.removeAttribute("aria-invalid");
    f.removeAttribute("aria-describedby");
    if (!why) return;
    const p = document.createElement("p");
    p.className = "at mend";
    p.id = `${f.id}-at`;
    p.textContent = why;
    field.append(p);
    f.setAttribute("aria-invalid", "true");
    f.setAttribute("aria-describedby", p.id);
  };
  let measuring = Promise.resolve();
  const keepMeasure = (key) => (measuring = measuring.then(async () => {
    const found = () => all().find((f) => keyOf(f) === key); // it may have been shown anew
    let f = found();
    if (!f || f.value === had(f) && !saw.has(key)) return;
    const what = measureOf(f);
    saw.set(key, [what.seen[0], ...[...what.seen.slice(1), what.text].slice(-8)]);
    let text, why;
    try {
      ({text} = await desk.send("/machine", what));
      saw.delete(key);
    } catch (e) {
      why = e;
      if (e.status < 500) saw.set(key, what.seen); // it has not arrived
    }
    if (!(f = found())) return;
    if (text !== undefined) {
      if (f.value === what.text) f.value = text;
      has(f, text);
      wrong(f);
      desk.arrived();
    } else if (why.others) {
      const theirs = why.others[f.dataset.key];
      const says = (t) => (f.tagName === "SELECT" ? [...f.options].find((o) => o.value === t)?.text || t : t);
      desk.between(key, called(f), says(f.value), says(theirs), () => {
        saw.set(key, [theirs]);
        return keepMeasure(key);
      }, () => {
        saw.delete(key);
        if ((f = found())) {
          f.value = theirs;
          has(f, theirs);
          wrong(f);
        }
        renewMachines();
      });
    } else {
      wrong(f, why.message);
      desk.say(`not saved: ${why.message}`, true);
    }
  }));
  // What the desk has is shown in the fields that are there; where there are others now, all are shown anew. What is typed and not sent stays as it is.
  const renewMachines = desk.oneAtATime(async () => {
    const fresh = document.createElement("template");
    fresh.innerHTML = await desk.part("/part/machines");
    const now = new Map(all(fresh.content).map((f) => [keyOf(f), had(f)]));
    const typed = measures().map((f) => [keyOf(f), called(f), f.value, had(f)]);
    if (all().map(keyOf).join() !== [...now.keys()].join()) {
      const focused = machines.contains(document.activeElement) ? document.activeElement : null;
      const [key, marked] = focused ? [keyOf(focused), desk.marked(focused)] : [];
      machines.replaceChildren(fresh.content);
      if (focused) desk.goTo(all().find((f) => keyOf(f) === key) || document.getElementById("main"), marked);
    }
    for (const [key, says, text, was] of typed) {
      const f = all().find((e) => keyOf(e) === key);
      if (f) {
        if (!saw.has(key)) saw.set(key, [was]);
        f.value = text;
      } else {
        saw.delete(key);
        desk.settled(key);
        desk.clash(`${key} gone`, "What you typed over was taken away elsewhere. What you typed is here, to be copied.", [[says, text]], [["Let it go", () => {}]]);
      }
    }
    for (const f of all()) {
      const text = now.get(keyOf(f));
      if (f.value === had(f)) f.value = text;
      has(f, text);
      if (f.value !== text) continue;
      saw.delete(keyOf(f));
      desk.settled(keyOf(f));
      wrong(f);
    }
  });
  desk.renews(renewMachines);
  machines.addEventListener("input", () => desk.say("typing…"));
  machines.addEventListener("focusout", () => desk.arrived());
  machines.addEventListener("change", (e) => keepMeasure(keyOf(e.target)));
  desk.on("back", () => measures().forEach((f) => keepMeasure(keyOf(f))));
  const add = async (cells) => {
    const said = await desk.act("/add", {sheet: "paper", after: "", cells});
    if (!said) return false;
    await renew(rows, "/part/paper");
    const width = rows.querySelector(`[data-id="${CSS.escape(said.id)}"] [name=Width]`);
    if (width) desk.lead(width);
    return true;
  };
  const stock = () => rows.dataset.stock || document.querySelector("#rows .stocks b")?.textContent || "";
  document.getElementById("add-sheet").addEventListener("click", () => add({Stock: stock()}));
  document.getElementById("add-leftover").addEventListener("click", () => add({Stock: stock(), Leftover: "yes", Count: "1"}));
})();
