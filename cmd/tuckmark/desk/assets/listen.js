// What the desk tells by itself is heard once for all its pages: a browser opens six connections to an address, and pages that kept one each would
// leave none for what is typed. As a shared worker it passes on what it hears; a page for which there is none listens by itself.
"use strict";

// listen calls hear with the name of each thing that is told, and what; "open" and "away" are told of the connection itself.
function listen(hear) {
  const source = new EventSource("/events");
  for (const name of ["book", "laid", "foot", "print", "closed"]) source.addEventListener(name, (e) => hear(name, JSON.parse(e.data)));
  source.addEventListener("closed", () => source.close());
  source.onopen = () => hear("open");
  source.onerror = () => hear("away");
  return source;
}

if (typeof SharedWorkerGlobalScope !== "undefined") {
  const pages = new Set();
  const last = new Map(); // of each name, for pages that come later
  let source;
  onconnect = (e) => {
    const [port] = e.ports;
    pages.add(port);
    if (source && source.readyState !== EventSource.CLOSED) {
      for (const told of last.values()) port.postMessage(told);
      return;
    }
    last.clear();
    source = listen((name, what) => {
      if (name === "open") last.delete("away");
      last.set(name, [name, what]);
      for (const page of pages) page.postMessage([name, what]);
    });
  };
}
