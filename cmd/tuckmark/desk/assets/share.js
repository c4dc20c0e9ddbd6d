// Share out: a message is copied, to be pasted where people write to each other.
"use strict";
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
