// The start: a new job, one that is begun, files, a paste.
"use strict";
(() => {
  const attempt = desk.take("/start/drop", "/start/paste", (said) => location.assign(said.go));
  document.getElementById("new-form").addEventListener("submit", (e) => {
    e.preventDefault();
    attempt(() => desk.send("/start/new", {name: document.getElementById("new-name").value}));
  });
  document.querySelector("main").addEventListener("click", (e) => {
    const b = e.target.closest("[data-open]");
    if (b) attempt(() => desk.send("/start/open", {kind: b.dataset.open, name: b.dataset.name}));
  });
})();
