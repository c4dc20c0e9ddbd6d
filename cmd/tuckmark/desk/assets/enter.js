// Trades the secret of the address for a cookie. The secret stands behind the hash, which no browser sends anywhere.
"use strict";
(async () => {
  const said = document.getElementById("said");
  const secret = location.hash.slice(1);
  history.replaceState(null, "", "/enter");
  if (!secret) {
    said.textContent = "This address has no secret in it. Start “tuckmark desk” again: it finds the desk that is open.";
    return;
  }
  try {
    const answer = await fetch("/enter", {method: "POST", headers: {"Content-Type": "application/json"}, body: JSON.stringify({secret})});
    if (answer.ok) {
      location.replace("/");
      return;
    }
    said.textContent = "The secret was used before, or is not this desk’s. Start “tuckmark desk” again: it finds the desk that is open.";
  } catch {
    said.textContent = "The desk does not answer. Start “tuckmark desk” again.";
  }
})();
