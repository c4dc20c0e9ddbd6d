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
  if (source && source.readyState !== EventSource.CLOSED || last.has("away")) {
    for (const told of last.values()) port.postMessage(told);
    return;
  }
  last.clear();
  listen();
};

// listen opens the connection. Where there is none a browser tries again; one that the desk refuses a browser gives up, without the reason: then the desk
// is asked for it, and for a connection again a little later, as long as nobody has pressed Quit.
function listen() {
  source = new EventSource("/events");
  for (const name of ["book", "laid", "foot", "print", "made", "cut", "closed"]) source.addEventListener(name, (told) => tell(name, JSON.parse(told.data)));
  let over = false;
  source.addEventListener("closed", () => {
    over = true;
    source.close();
  });
  source.onopen = () => tell("open");
  source.onerror = async () => {
    if (source.readyState !== EventSource.CLOSED || over) return tell("away");
    source = null;
    const answer = await fetch("/events").catch(() => null);
    tell("away", answer && !answer.ok ? (await answer.text()).trim() : "");
    answer?.body?.cancel().catch(() => {});
    setTimeout(() => source || listen(), 3000);
  };
}
