// What all parts share: sending changes, listening to what changes by itself, undo, quit.
"use strict";
const desk = {
  revision: 0,
  every: 2000, // milliseconds, between two times that a page asks for what it cannot be told
  listeners: {},

  // job is the one that the page is of, "" at the start: another may have been opened at the desk since.
  job() {
    return document.querySelector("header.top").dataset.job;
  },

  // as is that job, as requests say it.
  as() {
    return this.job() ? {"Tuckmark-Job": this.job()} : {};
  },

  // send posts what was done and gives the answer; it throws with words for people.
  async send(path, what, options = {}) {
    let answer;
    try {
      answer = await fetch(path, {method: "POST", body: JSON.stringify(what), ...options, headers: {...this.as(), ...(options.headers || {"Content-Type": "application/json"})}});
    } catch (e) {
      if (e.name === "AbortError") throw e;
      throw new Error("the desk does not answer; what you typed stays on this page", {cause: e});
    }
    const text = await answer.text();
    if (!answer.ok) {
      let why = text.trim();
      let said = {};
      try {
        said = JSON.parse(text);
        why = said.why;
      } catch { /* a plain sentence */ }
      const e = new Error(why);
      e.status = answer.status;
      e.problems = said.problems || [];
      e.others = said.others; // what somebody else wrote in the cells, by their headings
      throw e;
    }
    return text ? JSON.parse(text) : {};
  },

  // change sends what was typed into cells. It gives up after a while: what had no answer can be sent again, since it is said what was seen there.
  change(what) {
    return this.send("/change", what, {signal: AbortSignal.timeout(20_000)});
  },

  // last sends something while the page goes, for nobody to wait for. Browsers carry no more than 64 KB past the end of a page (Fetch, keepalive).
  last(path, what) {
    this.send(path, what, {keepalive: JSON.stringify(what).length < 20_000}).catch(() => {});
  },

  // part fetches a part of the page anew.
  async part(path, options = {}) {
    const answer = await fetch(path, {...options, headers: this.as()});
    if (!answer.ok) throw Object.assign(new Error((await answer.text()).trim()), {refused: true});
    return answer.text();
  },

  // oneAtATime gives a function that does f and is never under way twice: asked while it is, it does f once more when that is over.
  // Its waits says whether that is so, and its running is the promise of what is under way, or null.
  oneAtATime(f) {
    let running = null;
    let again = false;
    const ask = () => {
      again = true;
      running ||= (async () => {
        try {
          while (again) {
            again = false;
            await f();
          }
        } finally {
          running = null;
        }
      })();
      return running;
    };
    ask.waits = () => again;
    ask.running = () => running;
    return ask;
  },

  on(name, f) {
    (this.listeners[name] ||= []).push(f);
  },

  // marked is which letters of a field are marked, null where it has none to mark; goTo goes to a field with them marked: what is typed next takes their
  // place, as it would have in the field that stood there before.
  marked(field) {
    return field.tagName === "INPUT" && field.selectionStart !== null ? [field.selectionStart, field.selectionEnd, field.selectionDirection] : null;
  },
  goTo(field, marked) {
    field?.focus();
    if (marked && field?.tagName === "INPUT") field.setSelectionRange(...marked);
  },

  // renews has a page fetch anew what hangs on what was made or on the configuration, whenever those are others than it has: f does so, and throws where that
  // fails, to be done when they are told once more.
  renews(f) {
    this.on("made", async () => {
      try {
        await f();
      } catch (e) {
        document.querySelector("header.top").dataset.renewed = "";
        this.say(e.message, true);
      }
    });
  },

  // put shows a part anew, and lays it out where that is for a script to do. A button that does not stand where the same one stood, now or a little before, is
  // not pressed for a moment: nobody can have read it there (lately), nor when the part comes once more within that moment.
  put(at, html, lay = () => {}) {
    const which = (e) => (e === at ? [] : [e.dataset.hand || {...e.dataset, version: ""}, ...which(e.parentElement)]); // a press says of which version it is
    const standing = () => [...at.querySelectorAll("button")].map((e) => {
      const {x, y, width, height} = e.getBoundingClientRect();
      return [e, JSON.stringify([e.textContent, which(e), ...[x, y, width, height].map(Math.round)])];
    });
    const now = performance.now();
    const since = (e) => (e === at ? -Infinity : Math.max(this.movedAt.get(e) ?? -Infinity, since(e.parentElement))); // when it came there
    const stood = new Map([...(this.stood.get(at) || [])].filter(([, {last}]) => now - last < 3 * this.moment));
    for (const [e, where] of standing()) stood.set(where, {last: now, since: since(e)});
    this.stood.set(at, stood);
    at.innerHTML = html;
    lay();
    for (const [e, where] of standing()) this.movedAt.set(e, stood.has(where) ? stood.get(where).since : performance.now());
  },
  stood: new WeakMap(),
  moment: 600, // milliseconds
  movedAt: new WeakMap(),
  moved(at) {
    this.movedAt.set(at, performance.now());
  },
  // lately reports that something, or the part that it stands in, had not been there for a moment by then.
  lately(e, then = performance.now()) {
    for (let at = e; at; at = at.parentElement) if (then - this.movedAt.get(at) < this.moment) return true;
    return false;
  },

  tell(name, what) {
    for (const f of this.listeners[name] || []) f(what);
  },

  // What is told of the workbook says nothing of what a page has not sent yet: while there is such, only what has to be done is said of the workbook.
  // A page that has arrived says so with the revision that it was given; where the desk has not told how that one is yet, it will.
  book: null,
  unsettled: () => !!desk.unsent?.() || desk.choosing(), // something was typed here that the desk does not have
  choosing: () => !!document.querySelector("#clashes [data-clash]:not([data-clash=made]):not([data-clash=answered]):not([data-clash^='remove '])"), // something that was typed waits for the person to choose
  toChoose: "not saved: something that you typed waits above for you to choose",
  arrived(revision = 0) {
    if (this.choosing() && !document.getElementById("saved").classList.contains("stop")) this.say(this.toChoose, true); // else why it has not gone yet is said
    if (this.unsettled()) return;
    const b = this.book;
    if (b && b.revision < revision) this.say("saving…");
    else this.say(b ? b.said : "saved", b?.stop);
  },

  // say puts a sentence where the state of the file is told.
  say(text, stop) {
    const at = document.getElementById("saved");
    if (!at) return;
    if (at.textContent !== text) at.textContent = text;
    at.classList.toggle("stop", !!stop);
    const alert = document.getElementById("alert"); // readers hear what has to be done, and not that something was saved
    const loud = stop ? text : "";
    if (alert.textContent !== loud) alert.textContent = loud;
  },

  // clash shows above the part what was typed here and cannot be kept as it is, with what to do: a list of words and functions. Until one is pressed it
  // stays, to be copied; one of the same key takes its place.
  clash(key, what, texts, choices) {
    const make = (name, text = "") => Object.assign(document.createElement(name), {textContent: text});
    const section = make("section");
    section.className = "bad question";
    section.tabIndex = -1;
    section.dataset.clash = key;
    section.setAttribute("aria-label", what);
    const list = make("dl");
    for (const [name, text] of texts) list.append(make("dt", name), make("dd", text || "(nothing)"));
    const row = make("p");
    row.className = "row";
    for (const [says, f] of choices) {
      const b = make("button", says);
      b.type = "button";
      b.className = "small fix";
      b.addEventListener("click", () => {
        this.settled(key);
        document.getElementById("main").focus();
        Promise.resolve(f()).finally(() => this.arrived());
      });
      row.append(b);
    }
    section.append(make("p", what), list, row);
    this.settled(key);
    const all = document.getElementById("clashes");
    all.append(section);
    this.moved(all);
  },
  settled(key) {
    for (const e of document.querySelectorAll("[data-clash]")) {
      if (e.dataset.clash !== key) continue;
      this.moved(e.parentElement);
      e.remove();
    }
  },
  // between asks which of two texts a cell shall have.
  between(key, cell, mine, theirs, keep, take) {
    this.clash(key, `Somebody else wrote in ${cell} while you typed there. Nothing is overwritten.`, [["You typed", mine], ["The other text", theirs]], [["Keep mine", keep], ["Take the other", take]]);
    this.say("not saved: something that you typed waits above for you to choose", true);
  },

  // lead puts the focus where somebody goes on who has pressed a button, unless he types meanwhile, but for in the part that is done with. What is pressed
  // once more at once, for what stood there before, a button does not take.
  lead(e, done) {
    if (e.matches("button")) this.moved(e);
    if (!document.activeElement.matches("input, textarea, select") || done?.contains(document.activeElement)) e.focus();
  },
  // open shows a dialog, which takes no press that was meant for what it covers.
  open(dialog) {
    this.moved(dialog);
    dialog.showModal();
  },

  // remove removes a row as the page saw it, and calls done once it is gone. Where somebody else wrote in it since, it stays until the person has seen that.
  async remove(row, seen, done) {
    try {
      if (this.flush) await this.flush();
      await this.send("/remove", {...row, seen});
      done();
    } catch (e) {
      if (e.status === 410) {
        done();
        return;
      }
      this.say(e.message, true);
      if (e.others) this.clash(`remove ${row.id}`, "Somebody else wrote in what you removed. It is still there.", Object.entries(e.others), [
        ["Remove it all the same", () => this.remove(row, {...seen, ...Object.fromEntries(Object.entries(e.others).map(([column, text]) => [column, [text]]))}, done)],
        ["Keep it", () => {}],
      ]);
    }
  },

  // problems lists what was found, in the words of the check.
  problems(at, why, list = []) {
    at.replaceChildren();
    at.hidden = !why && !list.length;
    if (at.hidden) return;
    const p = document.createElement("p");
    p.textContent = why;
    at.append(p);
    if (list.length) {
      const ul = document.createElement("ul");
      for (const f of list) {
        const li = document.createElement("li");
        if (f.open) li.dataset.open = "";
        li.textContent = [f.place, f.what].filter(Boolean).join(": ") + (f.cause ? ` (${f.cause})` : "") + (f.hint ? `. To do: ${f.hint}` : "");
        ul.append(li);
      }
      at.append(ul);
    }
  },
};

// One press does one thing: what it has done may put another button under the pointer, or under the key, that nobody has read. So of a double click the
// first click counts, a key that is held presses once, and what stands where the buttons have just changed takes no press. What is pressed again and
// again on purpose is marked data-often. A press by a script is no gesture.
addEventListener("click", (e) => {
  const b = e.isTrusted && e.target.closest("a, button, dialog, label:has([type=checkbox]), [data-block]");
  if (!b || !(e.detail > 1 && !("often" in b.dataset)) && !desk.lately(b, e.timeStamp)) return;
  e.preventDefault();
  e.stopImmediatePropagation();
}, true);
addEventListener("keydown", (e) => {
  const b = e.repeat && ["Enter", " "].includes(e.key) && e.target.closest("a, button");
  if (b && !("often" in b.dataset)) e.preventDefault();
}, true);

(() => {
  // All pages listen together (listen.js). Where a browser cannot share, or what they share has died, each asks the desk every so often, so that none
  // holds one of the few connections.
  let gone = false;
  let away = false; // and says so
  let quits = false; // the desk ends, since this page asked it to
  let other = false; // the desk has another job open
  let opened;
  const listens = new Promise((done) => { opened = done; });
  const hear = (name, what) => {
    if (name === "book" && desk.job()) {
      other = what.job !== desk.job();
      if (other) desk.say("Another job was opened at the desk. What you type stays on this page.", true);
    }
    if (name === "open") {
      opened();
      if (away) desk.arrived(); // whatever else is to be said of the book is told next
      away = false;
      desk.tell("back");
    } else if (other && name !== "closed") {
      return;
    } else if (name === "made") {
      const has = document.querySelector("header.top").dataset;
      if (has.renewed === String(what.n)) return;
      has.renewed = what.n;
      desk.tell(name);
    } else if (name !== "away") {
      desk.tell(name, what);
    } else if (!gone) {
      away = true;
      const why = what || "the desk does not answer"; // what is why it refuses to tell
      desk.say(`${why[0].toUpperCase()}${why.slice(1)}. What you type stays on this page.`, true);
    }
  };
  // Who leaves a page with something typed that does not arrive, or that nobody could settle once the page is gone (desk.waits, or one of two texts), or while a
  // file is being taken over, is asked by the browser. A link to another page first has what was typed sent.
  addEventListener("beforeunload", (e) => {
    if (desk.taking || desk.waits?.() || desk.choosing() || desk.unsent?.() && document.getElementById("saved").classList.contains("stop")) e.preventDefault();
  });
  addEventListener("click", async (e) => {
    const a = e.target.closest("a[href]");
    if (!a || a.target || a.origin !== location.origin || a.pathname === location.pathname || e.defaultPrevented || e.ctrlKey || e.metaKey || e.shiftKey || e.altKey || !desk.waits?.()) return;
    e.preventDefault();
    await Promise.race([desk.flush(), new Promise((done) => setTimeout(done, desk.every))]);
    location.assign(a.href);
  });
  addEventListener("DOMContentLoaded", () => { // when all scripts of the page have said what they listen for
    try {
      const shared = new SharedWorker("/listen.js");
      let alive = true;
      let timer = 0;
      const lost = () => {
        clearInterval(timer);
        shared.port.onmessage = null;
        ask();
      };
      shared.onerror = lost;
      shared.port.onmessage = (e) => {
        alive = true;
        if (e.data[0] !== "here") hear(...e.data);
      };
      timer = setInterval(() => {
        if (!alive) return lost();
        alive = false;
        shared.port.postMessage("");
      }, desk.every * 3);
    } catch {
      ask();
    }
  });
  // ask hears what the desk has to tell by asking it, for as long as the page is there.
  let asks = false;
  const ask = async () => {
    if (asks) return;
    asks = true;
    const before = {};
    let there = false;
    while (!gone) {
      try {
        const told = JSON.parse(await desk.part("/now", {signal: AbortSignal.timeout(desk.every * 10)}));
        if (!there) hear("open");
        there = true;
        for (const name of Object.keys(told)) {
          const text = JSON.stringify(told[name]);
          if (before[name] !== text) hear(name, told[name]);
          before[name] = text;
        }
      } catch (e) {
        there = false;
        if (!quits) hear("away", e.refused && e.message);
      }
      if (quits && !there) hear("closed", {why: ""});
      else await new Promise((done) => setTimeout(done, desk.every));
    }
  };
  desk.on("closed", ({why: reason}) => {
    const taking = desk.taking && " file was still being taken over. Look whether it is in the job when the desk is open again, and add it if not.";
    const why = (a) => [taking && a + taking, reason].filter(Boolean).join(" ");
    gone = true;
    document.querySelectorAll("header .tools, header nav, footer.foot").forEach((e) => e.remove());
    if (desk.unsettled()) { // it stays, to be copied
      desk.say(`The desk is closed, and ${desk.lost || "what you typed last on this page is not saved. Copy it before you close the page."} ${why("A")}`.trim(), true);
      desk.say = () => {};
      return;
    }
    const main = document.querySelector("main");
    const p = document.createElement("p");
    p.className = "enter";
    p.textContent = why("a") ? `The desk is closed, and not everything is saved: ${why("a")}` : "The desk is closed and everything is saved. You can close this page.";
    main.replaceChildren(p);
    desk.say("closed", !!why("a"));
    desk.say = () => {}; // what was under way to the desk fails now, which is not to be told over it
  });
  desk.on("book", (b) => {
    desk.revision = b.revision;
    desk.book = b;
    if (b.stop || !desk.unsettled()) desk.say(b.said, b.stop);
  });

  // What only a person can settle is asked above the part, on every page.
  const questions = document.getElementById("questions");
  let asked = questions?.children.length || 0;
  // askAnew shows them as they are now: what stands here is in them. Who has gone to one, or to a button of it, stays there.
  let fetched = null; // "": there are none
  const askAnew = desk.oneAtATime(async () => {
    const html = await desk.part("/part/questions").catch(() => null);
    if (html === null || fetched === html) return;
    fetched = html;
    const of = (e) => JSON.stringify([e.tagName, {...e.dataset, shown: ""}, {...e.closest("section").dataset, shown: ""}]);
    const at = questions.contains(document.activeElement) ? document.activeElement : null;
    const columns = () => [...questions.querySelectorAll("[data-heading]")].map((e) => [e.dataset.heading, e.querySelector("select")]);
    const chosen = new Map(columns().map(([heading, list]) => [heading, list.value]));
    desk.put(questions, html);
    for (const [heading, list] of columns()) if ([...list.options].some((o) => o.value === chosen.get(heading))) list.value = chosen.get(heading);
    asked = questions.children.length;
    if (at?.closest("section")) ([...questions.querySelectorAll("section, button, select")].find((e) => of(e) === of(at)) || document.getElementById("main")).focus();
  });
  desk.on("book", (b) => {
    if (questions && (b.questions !== asked || questions.querySelector("[data-question]"))) askAnew();
  });
  questions?.addEventListener("click", async (e) => {
    const b = e.target.closest("[data-key], [data-as], [data-nothing]");
    if (!b) return;
    const list = "as" in b.dataset && b.closest("section").querySelector("select");
    if (list && !list.value) {
      desk.say("choose in the list what the column is, then press", true);
      list.focus();
      return;
    }
    desk.moved(questions);
    const n = [...questions.children].indexOf(b.closest("section"));
    const column = b.closest("[data-heading]");
    if (column) {
      const said = await act("/heading", {heading: column.dataset.heading, as: list ? list.value : ""});
      const wrong = said && document.getElementById("wrong"); // what is not settled yet stands on the page of the journaling
      for (const li of wrong?.querySelectorAll("[data-open]") || []) {
        li.remove();
        if (!wrong.querySelector("li")) desk.problems(wrong, "");
      }
      if (location.pathname !== "/journaling") for (const p of said?.problems || []) desk.clash("answered", `${p.place}: ${p.what}`, [["To do", p.hint]], [["Close", () => {}]]); // it stands there, too
    } else {
      const {question, shown} = b.closest("[data-question]").dataset;
      await act("/answer", {question, key: b.dataset.key, shown});
    }
    await askAnew();
    desk.lead(questions.children[Math.min(n, questions.children.length - 1)] || document.getElementById("main")); // to be read first
  });
  // What prints is told in every part but where things are printed, which shows more of it.
  const printing = document.getElementById("prints-now");
  if (printing) {
    desk.on("print", async () => {
      const html = await desk.part("/part/printing").catch(() => "");
      if (printing.innerHTML !== html) printing.innerHTML = html;
    });
  }
  desk.on("foot", (f) => {
    const at = document.getElementById("foot");
    if (!at) return;
    at.replaceChildren();
    for (const [n, word, mend] of f.counts) {
      const s = document.createElement("span");
      if (mend) s.className = "mend";
      const b = document.createElement("b");
      b.textContent = n;
      s.append(b, " " + word);
      at.append(s);
    }
    const how = document.createElement("small");
    how.className = "how";
    how.textContent = f.how;
    at.append(how);
  });

  // act does what was typed first, so that nothing is done out of turn.
  async function act(path, what = {}) {
    try {
      if (desk.flush) await desk.flush();
      if (path === "/quit" && desk.taking) throw new Error("a file is still being taken over; wait until it is, then press Quit again");
      if (path === "/quit" && desk.unsettled()) throw new Error(`${desk.lost ? "the cuts that you marked last are" : "what you typed on this page is"} not saved yet; look at it, then press Quit again`);
      return await desk.send(path, what);
    } catch (e) {
      desk.say(e.message, true);
      return undefined;
    }
  }
  desk.act = act;
  document.getElementById("undo")?.addEventListener("click", () => act("/undo"));
  document.getElementById("redo")?.addEventListener("click", () => act("/redo"));
  document.getElementById("quit")?.addEventListener("click", async () => {
    await Promise.race([listens, new Promise((done) => setTimeout(done, 2000))]); // the desk says that it is closed to pages that listen
    quits = !!await act("/quit");
  });
  const typing = (e) => e.target.closest("input:not([type=radio],[type=checkbox]), textarea");
  addEventListener("keydown", (e) => {
    if (!(e.ctrlKey || e.metaKey) || e.altKey || typing(e)) return;
    const key = e.key.toLowerCase();
    if (key === "z" && !e.shiftKey) {
      e.preventDefault();
      act("/undo");
    } else if (key === "y" || key === "z") {
      e.preventDefault();
      act("/redo");
    }
  });

  const dialog = document.getElementById("earlier");
  const showStates = async (why = "") => {
    dialog.querySelector("ol").innerHTML = await desk.part("/part/states");
    dialog.querySelector("[role=alert]").textContent = why;
  };
  document.getElementById("states")?.addEventListener("click", async () => {
    await showStates();
    desk.open(dialog);
  });
  dialog?.addEventListener("click", async (e) => {
    const b = e.target.closest("button");
    if (!b) return;
    try {
      if (desk.flush) await desk.flush();
      const seen = Number(dialog.querySelector("[data-state]").dataset.state); // the latest stands first
      if (b.dataset.state) await desk.send("/return", {state: Number(b.dataset.state), seen});
      dialog.close();
    } catch (why) {
      desk.say(why.message, true);
      if (why.status === 409) showStates(why.message);
      else dialog.close();
    }
  });
})();
