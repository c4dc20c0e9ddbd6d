// Paper: rows of paper are kept as they are changed; what is drawn comes anew when the job was laid.
"use strict";
(() => {
  const rows = document.getElementById("rows");

  const renew = async (at, path) => {
    try {
      const html = await desk.part(path);
      const f = at.contains(document.activeElement) ? document.activeElement : null;
      if (f && f.name && f.dataset.typed) return; // somebody types there
      const id = f?.closest("[data-id]")?.dataset.id;
      at.innerHTML = html;
      if (id) at.querySelector(`[data-id="${CSS.escape(id)}"] [name="${f.name}"]`)?.focus();
    } catch (e) {
      desk.say(e.message, true);
    }
  };
  desk.on("laid", () => renew(rows, "/part/paper"));

  rows.addEventListener("input", (e) => {
    if (e.target.type !== "checkbox" && e.target.tagName !== "SELECT") e.target.dataset.typed = "yes";
  });
  rows.addEventListener("change", async (e) => {
    const id = e.target.closest("[data-id]")?.dataset.id;
    if (!id) return;
    delete e.target.dataset.typed;
    const text = e.target.type === "checkbox" ? (e.target.checked ? "yes" : "") : e.target.value;
    await desk.act("/change", {sheet: "paper", id, cells: {[e.target.name]: text}});
  });
  rows.addEventListener("click", async (e) => {
    const b = e.target.closest("[data-remove]");
    if (!b) return;
    await desk.act("/remove", {sheet: "paper", id: b.closest("[data-id]").dataset.id});
    await renew(rows, "/part/paper");
    document.getElementById("add-sheet").focus();
  });
  // Measures of the printers and the trimmer; what is no measure is said at its field.
  document.getElementById("machines-list").addEventListener("change", async (e) => {
    const f = e.target;
    const field = f.closest(".field");
    field.querySelector(".at")?.remove();
    f.removeAttribute("aria-invalid");
    f.removeAttribute("aria-describedby");
    try {
      await desk.send("/machine", {printer: f.closest("[data-printer]").dataset.printer, key: f.dataset.key, text: f.value});
      if (f.dataset.key === "by") location.reload(); // what there is to measure is another
    } catch (why) {
      const p = document.createElement("p");
      p.className = "at mend";
      p.id = `${f.id}-at`;
      p.textContent = why.message;
      field.append(p);
      f.setAttribute("aria-invalid", "true");
      f.setAttribute("aria-describedby", p.id);
    }
  });
  const add = async (cells) => {
    const said = await desk.act("/add", {sheet: "paper", after: "", cells});
    if (!said) return;
    await renew(rows, "/part/paper");
    rows.querySelector(`[data-id="${CSS.escape(said.id)}"] [name=Width]`)?.focus();
  };
  const stock = () => rows.dataset.stock || document.querySelector("#rows .stocks b")?.textContent || "";
  document.getElementById("add-sheet").addEventListener("click", () => add({Stock: stock()}));
  document.getElementById("add-leftover").addEventListener("click", () => add({Stock: stock(), Leftover: "yes", Count: "1"}));
})();
