// Blocks that smeared are pressed, and made ready to be printed once more.
"use strict";
(() => {
  const form = document.getElementById("again");
  const failed = (e) => {
    desk.problems(document.getElementById("wrong"), e.message, e.problems);
    desk.say(e.message, true);
  };
  for (const b of document.querySelectorAll("[data-redo]"))
    b.addEventListener("click", async () => {
      try {
        await desk.send("/print/start", {redo: b.dataset.redo});
        location.assign("/print");
      } catch (e) {
        failed(e);
      }
    });
  for (const b of document.querySelectorAll("[data-settled]"))
    b.addEventListener("click", async () => {
      try {
        b.disabled = true;
        await desk.send("/print/settled", {redo: b.dataset.settled});
        b.closest("p").textContent = "No longer on this list."; // nothing moves to where a second press may come
        desk.say("taken off the list");
        document.getElementById("main").focus();
      } catch (e) {
        b.disabled = false;
        failed(e);
      }
    });
  if (!form) return;
  const make = form.querySelector("button.main");
  const codes = () => [...form.querySelectorAll("input:checked")].map((e) => e.value);
  const count = () => {
    for (const g of form.querySelectorAll("[data-block]")) g.classList.toggle("pressed", document.getElementById(g.dataset.block).checked);
    const n = codes().length;
    make.disabled = !n;
    make.textContent = n ? `Make ${n === 1 ? "1 block" : `${n} blocks`} ready` : "Press the blocks first";
  };
  form.addEventListener("change", count);
  form.addEventListener("click", (e) => {
    const g = e.target.closest("[data-block]");
    if (!g) return;
    const box = document.getElementById(g.dataset.block);
    box.checked = !box.checked;
    count();
  });
  count();
  form.addEventListener("submit", async (e) => {
    e.preventDefault();
    make.disabled = true;
    try {
      await desk.send("/print/again", {codes: codes(), of: form.dataset.of});
      location.reload();
    } catch (why) {
      count();
      failed(why);
    }
  });
})();
