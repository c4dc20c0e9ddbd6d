// Print: the PDF and the report are made and fetched; what is printed is told as it goes, and asked about.
"use strict";
(() => {
  const session = document.getElementById("session");
  const prints = document.getElementById("prints");
  const keyOf = (e) => e.getAttribute("href") || JSON.stringify(e.dataset); // by which a button is known again
  let asked = session.querySelector("[data-number]")?.dataset.number;
  const renewal = (at, path) => {
    let shown; // as it was fetched
    return desk.oneAtATime(async () => {
      try {
        const html = await desk.part(path);
        if (shown === html) return;
        shown = html;
        const held = at.contains(document.activeElement) && keyOf(document.activeElement);
        desk.put(at, html);
        const same = held && [...at.querySelectorAll("a, button")].find((e) => keyOf(e) === held);
        const question = at.querySelector(".ask"); // to be read before it is answered
        const number = at.querySelector("[data-number]")?.dataset.number;
        const fresh = question && number !== asked;
        if (question) asked = number;
        if (same) same.focus();
        else if (question && (held || (fresh && (document.activeElement === document.body || prints.contains(document.activeElement))))) question.focus();
        else if (held) document.getElementById("main").focus();
      } catch (e) {
        desk.say(e.message, true);
      }
    });
  };
  const renewSession = renewal(session, "/part/session");
  const renewPrints = renewal(prints, "/part/prints");
  const both = () => {
    renewSession();
    renewPrints();
  };
  desk.on("print", both);
  desk.on("laid", renewPrints);
  desk.on("made", renewPrints);
  desk.on("back", both);

  const wrong = (e) => desk.problems(document.getElementById("wrong"), e.message, e.problems);
  document.getElementById("main").addEventListener("click", async (e) => {
    const b = e.target.closest("button");
    if (!b) return;
    const d = b.dataset;
    desk.problems(document.getElementById("wrong"), "");
    try {
      if ("make" in d) {
        b.disabled = true;
        desk.say("being made…");
        const said = await desk.send("/print/make", {});
        desk.say(said.later ? "made anew once the printing is over" : "made");
        await renewPrints();
        if ([document.body, b].includes(document.activeElement)) document.getElementById("main").focus(); // nobody has gone on meanwhile
      } else if ("print" in d) {
        await desk.send("/print/start", {stock: d.print, again: "again" in d});
        scrollTo(0, 0);
      } else if ("guides" in d) {
        await desk.send("/print/start", {guides: true});
        scrollTo(0, 0);
      } else if ("answer" in d) {
        await desk.send("/print/answer", {number: Number(d.number), answer: d.answer});
      } else if ("stop" in d) {
        await desk.send("/print/stop", {});
      }
    } catch (why) {
      b.disabled = false;
      wrong(why);
      desk.say(why.message, true);
    }
  });
})();
