// Files that are dropped or chosen, and tables that are pasted: on the start and beside the blocks. Done says whether all of it was taken over.
"use strict";
desk.take = (dropTo, pasteTo, done) => {
  const wrong = document.getElementById("wrong");
  const drop = document.getElementById("drop");
  const input = document.getElementById("files");
  const form = document.getElementById("paste-form");

  const attempt = async (work) => {
    try {
      if (desk.taking) throw new Error("what came before is still being taken over; wait until it is, and do this again");
      desk.problems(wrong, "");
      drop.setAttribute("aria-busy", "true");
      desk.taking = true;
      const said = await work().finally(() => {
        desk.taking = false;
        drop.removeAttribute("aria-busy");
      });
      return done(said);
    } catch (e) {
      desk.problems(wrong, e.message, e.problems);
      const dialog = wrong.closest("dialog");
      if (dialog && !dialog.open) desk.open(dialog);
      wrong.scrollIntoView({block: "nearest"});
      return false;
    }
  };
  // fits refuses more bytes than the desk takes: it would end the connection, and the browser gives no reason for that.
  const fits = (what, size, most, hint) => {
    if (size > Number(most)) throw new Error(`${what} too large: ${Math.ceil(size / 2 ** 20)} MB, and ${most / 2 ** 20} MB at most can be taken at once. Nothing was taken over; ${hint}`);
  };
  const files = (list) => attempt(async () => {
    const size = list.reduce((sum, f) => sum + f.size + 1000, 0); // with what a form says of each
    fits("the files are", size, input.dataset.most, "drop them in parts, or save what is needed of a large one as CSV");
    const data = new FormData();
    for (const f of list) data.append("file", f, f.name);
    return desk.send(dropTo, null, {headers: {}, body: data});
  });

  input.addEventListener("change", () => {
    if (input.files.length) files([...input.files]);
    input.value = "";
  });
  // Anywhere on the page will do.
  const carries = (e) => e.dataTransfer && [...e.dataTransfer.types].includes("Files");
  addEventListener("dragover", (e) => {
    if (!carries(e)) return;
    e.preventDefault();
    drop.classList.add("over");
  });
  addEventListener("dragleave", (e) => {
    if (!e.relatedTarget) drop.classList.remove("over");
  });
  addEventListener("drop", (e) => {
    if (!carries(e)) return;
    e.preventDefault();
    drop.classList.remove("over");
    if (e.dataTransfer.files.length) files([...e.dataTransfer.files]);
  });
  let pasting = false; // a second press while it is under way would add the same rows once more, and so would the text if it stayed
  form.addEventListener("submit", async (e) => {
    e.preventDefault();
    if (pasting) return;
    pasting = true;
    const paste = document.getElementById("paste-text");
    const name = document.getElementById("paste-name");
    const text = paste.value;
    const all = await attempt(async () => {
      const what = name ? {name: name.value, text} : {text};
      const size = new Blob([JSON.stringify(what)]).size;
      fits("what was pasted is", size, paste.dataset.most, "paste it in parts, or save it as CSV and drop that");
      return desk.send(pasteTo, what);
    });
    pasting = false;
    if (all && paste.value === text) paste.value = "";
  });
  return attempt;
};
