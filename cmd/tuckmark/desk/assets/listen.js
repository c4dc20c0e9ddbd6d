// What the desk tells by itself is heard once for all its pages: a browser opens six connections to an address, and pages that kept one each would
// leave none for what is typed. As a shared worker it passes on what it hears, and answers pages that ask whether it is there; a page for which there is
// none asks the desk again and again (desk.js).
"use strict";
const pages = new Set();
const last = new Map(); // of each name, for pages that come later
let source;

// tell passes on the name of a thing that is told, and what; "open" and "away" are told of the connection itself.
const tell = (name, what) => {
  if (name === "open") last.delete("away");
  last.set(name, [name, what]);
  for (const page of pages) page.postMessage([name, what]);
};

onconnect = (e) => {
  const [port] = e.ports;
  pages.add(port);
  port.onmessage = () => port.postMessage(["here"]);
  if (source && source.readyState !== EventSource.CLOSED) {
    for (const told of last.values()) port.postMessage(told);
    return;
  }
  last.clear();
  source = new EventSource("/events");
  for (const name of ["book", "laid", "foot", "print", "closed"]) source.addEventListener(name, (told) => tell(name, JSON.parse(told.data)));
  source.addEventListener("closed", () => source.close());
  source.onopen = () => tell("open");
  source.onerror = () => tell("away");
};
