// The judgement room: answers without loading the page anew, and single keys for them, which can be turned off.
import { fetched, fields, say, swap } from "./quick.js";

const OFF = "undial-keys-off";
let busy = false;
let here = location.pathname + location.search;

function keysOn() {
  try { return localStorage.getItem(OFF) === null; } catch { return true; }
}

/** Show the keys, or hide them, after the page or the wish has changed. */
function dress() {
  const on = keysOn();
  document.body.classList.toggle("single-keys", on);
  const list = document.getElementById("keys");
  if (list) {
    list.hidden = false;
    const change = document.getElementById("keys-switch");
    change.setAttribute("aria-pressed", String(on));
    change.textContent = on ? "Single keys are on" : "Single keys are off";
  }
  for (const one of document.querySelectorAll("[data-key]")) {
    if (on) one.setAttribute("aria-keyshortcuts", one.dataset.key);
    else one.removeAttribute("aria-keyshortcuts");
  }
}

/** Fetch a page and put its contents in; `options` are those of a form, `past` says that it is in the history already. */
async function go(url, options, past = false) {
  if (busy) return;
  busy = true;
  const main = document.getElementById("main");
  main.setAttribute("aria-busy", "true");
  try {
    const answer = await fetched(url, options);
    if (!swap(answer.page, "main")) { location.assign(answer.url); return; }
    // What answers to a form under the form's own address has none that could be loaded again.
    if (!past && (!options || answer.url !== new URL(url, location.href).href)) history.pushState(null, "", answer.url);
    here = location.pathname + location.search;
    arrive();
  } catch {
    main.removeAttribute("aria-busy");
    say("The page does not answer; nothing was kept. Is undial still running?");
    complain();
  } finally {
    busy = false;
  }
}

/** After a swap: the place to read on from, and what came of the answer. */
function arrive() {
  dress();
  watchWaiting();
  window.scrollTo(0, 0);
  const alert = document.querySelector("#main [role=alert]");
  const start = alert ?? document.getElementById("line-name") ?? document.querySelector("#main h1");
  start.tabIndex = -1;
  start.focus({ preventScroll: true });
  if (!alert) say([document.getElementById("told"), document.getElementById("left")].filter(Boolean).map((one) => one.textContent.trim()).join(" "));
}

/** While an answer goes into many recipes: ask how far it is, and go on once it is kept. */
function watchWaiting() {
  if (!document.getElementById("waiting")) return;
  document.getElementById("look-again").hidden = true;
  const url = location.pathname + location.search;
  let spoken = Date.now();
  const ask = async () => {
    if (!document.getElementById("waiting") || here !== url) return;
    try {
      const answer = await fetched(url);
      if (here !== url) return;
      if (answer.page.getElementById("waiting")) {
        swap(answer.page, "waiting");
        if (Date.now() - spoken > 10000) {
          spoken = Date.now();
          say(document.getElementById("waiting-told").textContent);
        }
        setTimeout(ask, 300);
        return;
      }
      if (!swap(answer.page, "main")) { location.replace(answer.url); return; }
      history.replaceState(null, "", answer.url);
      here = location.pathname + location.search;
      arrive();
    } catch {
      document.getElementById("waiting-told").textContent = "The page does not answer for the moment; it is asked again.";
      setTimeout(ask, 2000);
    }
  };
  setTimeout(ask, 300);
}

function complain() {
  const words = document.createElement("p");
  words.className = "alert";
  words.textContent = "The page does not answer; nothing was kept. Is undial still running?";
  document.querySelector("#main .no-answer")?.remove();
  words.classList.add("no-answer");
  document.querySelector("#main h1").after(words);
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!form.matches("[data-quick]")) return;
  event.preventDefault();
  go(form.getAttribute("action"), { method: "POST", body: fields(form, event.submitter) });
});

document.addEventListener("click", (event) => {
  if (event.target.closest("#keys-switch")) {
    try {
      if (keysOn()) localStorage.setItem(OFF, "1");
      else localStorage.removeItem(OFF);
    } catch { /* without storage they stay on */ }
    dress();
    return;
  }
  const link = event.target.closest("a[data-quick]");
  if (!link || event.button || event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
  event.preventDefault();
  go(link.getAttribute("href"));
});

window.addEventListener("popstate", () => {
  if (here !== location.pathname + location.search) go(location.href, undefined, true);
});

document.addEventListener("keydown", (event) => {
  const field = event.target.closest("input:not([type=checkbox]), textarea, select");
  if (event.key === "Escape" && field) { field.blur(); return; }
  if (field || !keysOn() || event.ctrlKey || event.metaKey || event.altKey || event.repeat || busy) return;
  const found = [...document.querySelectorAll("[data-key]")].find((one) => one.dataset.key.split(" ").includes(event.key));
  if (!found) return;
  event.preventDefault();
  if (found.matches("input[type=search]")) { found.focus(); found.select(); return; }
  if (found.matches("summary")) { unfold(found.parentElement); return; }
  found.click();
  if (found.matches("input[type=checkbox]")) say(found.checked ? "The same for all, on" : "The same for all, off");
});

function unfold(part) {
  if (part.id === "own") {
    part.open = true;
    part.querySelector("textarea").focus();
    return;
  }
  part.open = !part.open;
  if (part.open) part.querySelector("summary").focus();
}

dress();
watchWaiting();
