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
  const typed = (at) => Object.fromEntries(["name", "amount", "by"].map((name) => [name, at.querySelector(`[name=${name}]`).value]));
  const wrong = (at, text) => {
    at.querySelector(".at")?.remove();
    const fields = at.querySelectorAll("input");
    for (const f of fields) {
      f.toggleAttribute("aria-invalid", false);
      f.removeAttribute("aria-describedby");
    }
    if (!text) return;
    const p = document.createElement("p");
    p.className = "at mend";
    p.id = `${fields[0].id}-at`;
    p.textContent = text;
    at.append(p);
    for (const f of fields) {
      f.setAttribute("aria-invalid", "true");
      f.setAttribute("aria-describedby", p.id);
    }
  };
  // change sends what a line came to; what is wrong with it is said at the line, and it stays as it was typed.
  const change = async (at, what, says) => {
    try {
      const said = await desk.send("/cost", what);
      if (at) wrong(at, "");
      gone = null;
      back.hidden = true;
      told.textContent = [says, said.said].filter(Boolean).join(" ");
      return true;
    } catch (e) {
      if (at) wrong(at, e.message);
      else desk.say(e.message, true);
      return false;
    }
  };
  const anew = async (focus) => {
    try {
      costs.innerHTML = await desk.part("/part/costs");
      document.getElementById(focus)?.focus();
    } catch (e) {
      desk.say(e.message, true);
    }
    await renew();
  };
  costs.addEventListener("change", async (e) => {
    const at = line(e.target);
    if (!at.dataset.was) return; // it is added first
    const now = typed(at);
    if (!await change(at, {was: at.dataset.was, ...now}, "Kept.")) return;
    at.dataset.was = now.name.trim().replace(/\s+/g, " ");
    at.querySelector("[data-remove]").setAttribute("aria-label", `Remove ${at.dataset.was}`);
    await renew();
  });
  costs.addEventListener("submit", async (e) => {
    e.preventDefault();
    if (await change(e.target, typed(e.target), "Added.")) await anew("more-name");
  });
  costs.addEventListener("click", async (e) => {
    if (!e.target.closest("[data-remove]")) return;
    const at = line(e.target);
    const was = {...typed(at), name: at.dataset.was};
    if (!await change(at, {was: was.name, remove: true}, `${was.name} is taken out.`)) return;
    gone = was;
    back.hidden = false;
    await anew("");
    back.focus();
  });
  back.addEventListener("click", async () => {
    if (await change(null, gone, "It is back.")) await anew("more-name");
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
