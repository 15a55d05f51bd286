// The stove: one step at a time, and the timers as they are seen, heard and felt. What they are is in timers.js.
import * as timers from "./timers.js";
import { ready as heard, shake, sound, wake } from "./sounds.js";

const KEPT = "undial-timers";
const UNDO_MS = 60_000;
const get = (id) => document.getElementById(id);
const here = document.querySelector(".back").getAttribute("href");
const home = document.title;
const CALLS = {
  look: ["▲", "look now"], expect: ["▲", "it may be done: look now"], latest: ["▲", "latest: take it out or decide now"],
};
const COMING = { look: "look at", again: "look again at", expect: "expect it from", latest: "latest at" };
const clock = (ms) => new Date(ms).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });

let state = timers.empty();
let undo = null;
const rung = new Map(); // by key: {at, stage} of the last call
const shown = new Map(); // by key: the elements of a timer on the screen
const keyOf = (timer) => `${timer.page} ${timer.id}`;

function made(tag, name, words) {
  const one = document.createElement(tag);
  if (name) one.className = name;
  if (words) one.textContent = words;
  return one;
}

function button(words, act, name) {
  const one = made("button", name, words);
  one.type = "button";
  one.addEventListener("click", act);
  return one;
}

// Only a change is spoken; a region that repeats itself each second would drown the rest.
function say(words) {
  get("said").textContent = "";
  setTimeout(() => { get("said").textContent = words; }, 50);
}

// --- what is kept ---------------------------------------------------------------------------------------

function kept() {
  try {
    return localStorage.getItem(KEPT);
  } catch {
    return null;
  }
}

function load() {
  state = timers.read(kept(), Date.now());
}

let storing = true;
function act(action) {
  // What another page of ours has changed meanwhile comes first.
  if (storing) load();
  state = timers.changed(state, { now: Date.now(), ...action });
  try {
    localStorage.setItem(KEPT, timers.written(state));
    storing = true;
  } catch {
    storing = false;
  }
  tick();
}

// --- the steps ------------------------------------------------------------------------------------------

const pages = [...document.querySelectorAll("[data-step]")];
let at = 0;

function open(place, { focus = true } = {}) {
  at = Math.min(Math.max(place, 0), pages.length - 1);
  pages.forEach((page, count) => { page.hidden = count !== at; });
  const last = pages.length - 1;
  get("where").textContent = at ? `step ${at} of ${last}` : "before you begin";
  get("bar").value = at;
  get("back").disabled = at === 0;
  get("next").disabled = at === last;
  const have = get("have");
  if (have) { have.hidden = at === 0; have.open = false; }
  history.replaceState(null, "", `#${pages[at].id}`);
  try {
    localStorage.setItem(`undial-step ${here}`, String(at));
  } catch {
    // Without a place to keep it the first step comes after a reload.
  }
  if (focus) {
    pages[at].focus({ preventScroll: true });
    scrollTo(0, 0);
  }
}

function begin() {
  const asked = pages.findIndex((page) => `#${page.id}` === location.hash);
  let before = 0;
  try {
    before = Number(localStorage.getItem(`undial-step ${here}`)) || 0;
  } catch {
    // As above.
  }
  open(asked >= 0 ? asked : before, { focus: false });
}

function turn(by) {
  const to = at + by;
  if (to >= 0 && to < pages.length) open(to);
}

addEventListener("keydown", (event) => {
  if (event.ctrlKey || event.altKey || event.metaKey || event.defaultPrevented) return;
  const busy = event.target.closest?.("button, a, summary, input, select, textarea");
  const forth = event.key === "ArrowRight" || event.key === "PageDown" || (event.key === " " && !event.shiftKey && !busy);
  const back = event.key === "ArrowLeft" || event.key === "PageUp" || (event.key === " " && event.shiftKey && !busy);
  if (!forth && !back) return;
  event.preventDefault();
  turn(forth ? 1 : -1);
});

// --- the stays of the steps -----------------------------------------------------------------------------

const stays = [...document.querySelectorAll("[data-stay]")].map((box) => {
  const stay = JSON.parse(box.dataset.stay);
  const start = button("Start the timer", () => {
    act({ kind: "start", id: stay.id, stay });
    const first = timers.nextOfAll({ timers: state.timers.filter((one) => one.id === stay.id && one.page === here) }, Date.now());
    if (first) say(`Timer runs: ${stay.food}, ${stay.zone}, ${COMING[first.stage]} ${clock(first.at)}.`);
    wake().then(states);
  });
  start.setAttribute("aria-label", `Start the timer: ${stay.food}, ${stay.zone}`);
  const counted = ["look", "expect", "latest"].some((one) => stay[one] !== null);
  if (counted) box.append(start);
  return { stay, box, start };
});

function drawStays() {
  for (const { stay, box, start } of stays) {
    const timer = state.timers.find((one) => one.id === stay.id && one.page === here);
    const words = timer ? "Start again from now" : "Start the timer";
    if (start.textContent !== words) {
      start.textContent = words;
      start.setAttribute("aria-label", `${words}: ${stay.food}, ${stay.zone}`);
      start.className = timer ? "" : "main";
    }
    start.className = timer ? "" : "main";
    for (const row of box.querySelectorAll(".times > div")) {
      const name = row.querySelector("dt").textContent.split(" ")[0];
      const due = timer?.dues[name];
      let line = row.querySelector(".at");
      if (!due) { line?.remove(); continue; }
      if (!line) { line = made("span", "at"); row.querySelector("dd").append(line); }
      line.textContent = `at ${clock(due)}`;
    }
  }
}

// --- the timers on the screen ---------------------------------------------------------------------------

function takeAway(timer, action, words) {
  const now = Date.now();
  // What went straight through one oven, and was looked at before it came out, can teach the clock.
  const tells = timer.log && action.kind !== "back" && timers.stage(timer, now) !== "going";
  undo = { timer, words, took: tells ? Math.round((now - timer.begun) / timers.MINUTE) : 0, until: now + UNDO_MS };
  act(action);
  say(words);
}

function drawn(timer) {
  const box = made("li", "timer");
  const more = made("details");
  const row = made("summary");
  const what = made("span", "what");
  const time = made("span", "left");
  const acts = made("div", "acts");
  const named = `${timer.food}, ${timer.zone}`;
  const it = { id: timer.id, page: timer.page };
  row.append(made("span", "whose", timer.food), what, time);
  const out = button("Taken out", () => takeAway(timer, { kind: "out", ...it }, `Taken out: ${named}.`), "main");
  const later = button("5 minutes more", () => {
    act({ kind: "later", minutes: 5, ...it });
    say(`Five minutes more: ${named}.`);
  });
  const seen = button("Seen, it stays", () => {
    act({ kind: "seen", ...it });
    say(`Seen: ${named}. The next call comes by itself.`);
  });
  acts.append(out, later, seen);
  if (timer.next) {
    const rests = timer.next.zone === "resting";
    const words = rests ? `Resting: ${timer.food}.` : `Moved: ${timer.food}, ${timer.next.zone}.`;
    const to = [timer.next.zone, timer.next.place].filter(Boolean).join(", ");
    acts.prepend(button(rests ? "Out, and rest" : `Move now: ${to}`, () => takeAway(timer, { kind: "move", ...it }, words), "main"));
    out.className = "";
  }
  for (const one of acts.children) one.setAttribute("aria-label", `${one.textContent}: ${named}`);
  const way = made("a", "", timer.page === here ? `step ${timer.step}` : `${timer.recipe}, step ${timer.step}`);
  way.href = timer.page === here ? `#step-${timer.step}` : `${timer.page}/stove#step-${timer.step}`;
  const line = made("p");
  line.append(way);
  acts.append(line);
  more.append(row, acts);
  box.append(more);
  return { box, what, time, more, seen, begun: timer.begun, called: "" };
}

function drawTimers(now) {
  const list = get("timers").querySelector("ol");
  const order = timers.inOrder(state, now);
  const keys = new Set(order.map(keyOf));
  for (const [key, one] of shown) {
    if (!keys.has(key)) { one.box.remove(); shown.delete(key); rung.delete(key); }
  }
  order.forEach((timer, place) => {
    const key = keyOf(timer);
    let one = shown.get(key);
    if (one && one.begun !== timer.begun) { one.box.remove(); rung.delete(key); one = undefined; }
    if (!one) { one = drawn(timer); shown.set(key, one); }
    if (list.children[place] !== one.box) {
      const focus = one.box.contains(document.activeElement) ? document.activeElement : null;
      list.insertBefore(one.box, list.children[place] ?? null);
      focus?.focus({ preventScroll: true });
    }
    const calls = timers.calling(timer, now);
    const coming = timers.next(timer, now);
    const spot = [timer.zone, timer.place].filter(Boolean).join(", ");
    const words = calls
      ? `${CALLS[calls][0]} ${CALLS[calls][1]} · ${spot}`
      : coming ? `${spot}: ${COMING[coming.stage]} ${clock(coming.at)}` : `${spot}: past its latest time`;
    if (one.what.textContent !== words) one.what.textContent = words;
    const time = calls ? timers.ago(now - timers.since(timer, now)) : coming ? timers.left(coming.at - now) : "";
    if (one.time.textContent !== time) one.time.textContent = time;
    if (one.called !== (calls ?? "")) {
      one.called = calls ?? "";
      one.box.classList.toggle("calls", Boolean(calls));
      one.box.classList.toggle("latest", calls === "latest");
      one.more.open = Boolean(calls);
    }
    one.seen.hidden = !calls || calls === "latest";
  });
  get("timers").hidden = !order.length && !undo;
}

function drawUndo(now) {
  if (undo && undo.until <= now) undo = null;
  let line = get("undo");
  if (!undo) { line?.remove(); return; }
  if (!line) {
    line = made("p", "undo");
    line.id = "undo";
    get("timers").append(line);
  }
  if (line.dataset.words === undo.words) return;
  line.dataset.words = undo.words;
  line.replaceChildren(`${undo.words} `, button("Undo", () => {
    const { timer } = undo;
    undo = null;
    act({ kind: "back", id: timer.id, timer });
    say(`Back again: ${timer.food}, ${timer.zone}.`);
  }));
  if (undo.took) {
    const way = made("a", "", `It took ${undo.took} minutes: let the clock learn from it`);
    way.href = `/cooker?${undo.timer.log}&took=${undo.took}#clock`;
    line.append(" ", way);
  }
}

// --- calling --------------------------------------------------------------------------------------------

function call(now) {
  const due = [];
  for (const timer of state.timers) {
    const last = rung.get(keyOf(timer));
    const stage = timers.rings(timer, now, last?.at ?? null, last?.stage ?? null);
    if (!stage) continue;
    if (last?.stage !== stage) say(`${timer.food}, ${timer.zone}: ${CALLS[stage][1]}.`);
    rung.set(keyOf(timer), { at: now, stage });
    due.push({ timer, stage });
  }
  if (!due.length) return;
  const worst = due.reduce((one, other) => (timers.STAGES.indexOf(other.stage) > timers.STAGES.indexOf(one.stage) ? other : one));
  sound(worst.stage);
  shake(worst.stage);
  if (document.hidden) for (const { timer, stage } of due) notify(timer, stage);
}

function notify(timer, stage) {
  if (!("Notification" in window) || Notification.permission !== "granted") return;
  try {
    const note = new Notification(`${timer.food}: ${CALLS[stage][1]}`, {
      body: `${[timer.zone, timer.place].filter(Boolean).join(", ")} (${timer.recipe})`, tag: keyOf(timer), requireInteraction: true,
    });
    note.onclick = () => { window.focus(); note.close(); };
  } catch {
    // Some browsers on phones take notes only from a service worker; sound and screen must do.
  }
}

// The next time stands in the title, so that a tab in the row tells it.
function title(now) {
  const order = timers.inOrder(state, now);
  const calls = order.find((timer) => timers.calling(timer, now));
  if (calls) {
    document.title = `▲ ${CALLS[timers.calling(calls, now)][1]}: ${calls.food} – undial`;
    return;
  }
  const first = timers.nextOfAll(state, now);
  document.title = first ? `${clock(first.at)} ${first.stage === "again" ? "look" : first.stage}: ${first.timer.food} – undial` : home;
}

function tick() {
  const now = Date.now();
  drawUndo(now);
  drawTimers(now);
  drawStays();
  call(now);
  title(now);
  hints(now);
}

// --- sound, screen, windows -----------------------------------------------------------------------------

let lock = null;
let screenWords = "";

async function keepOn() {
  if (!("wakeLock" in navigator)) {
    screenWords = window.isSecureContext
      ? "This browser cannot keep the screen on. Set it to stay on in the settings of the device."
      : "The page cannot keep the screen on here: browsers allow it only on the machine that undial runs on. Set the screen to stay on in the settings of the device.";
    return;
  }
  if (document.visibilityState !== "visible" || lock) return;
  try {
    lock = await navigator.wakeLock.request("screen");
    screenWords = "The screen stays on while this page is in front.";
    lock.addEventListener("release", () => { lock = null; });
  } catch {
    lock = null;
    screenWords = "The device does not let the page keep the screen on now, perhaps because the battery is low.";
  }
}

function states() {
  const words = [
    heard() ? "The sound is on. Turn the volume up." : "The sound is off until you touch the page once.",
    screenWords,
    navigator.vibrate ? "Where the device can shake, it does." : "",
    kept() === null && !storing ? "This browser keeps nothing for the page: a reload forgets the timers." : "",
    "Notification" in window && Notification.permission === "granted" ? "It calls from behind other windows too." : "",
  ];
  get("states").replaceChildren(...words.filter(Boolean).map((one) => made("li", "", one)));
  get("notify").hidden = !("Notification" in window) || !window.isSecureContext || Notification.permission !== "default";
  hints(Date.now());
}

function hints(now) {
  let line = get("hint");
  const calls = state.timers.some((timer) => timers.calling(timer, now));
  let words = "";
  if (calls && !heard()) words = "▲ The sound is off: touch the page once.";
  else if (state.timers.length && !storing) words = "● A reload forgets these timers: this browser keeps nothing for the page.";
  else if (state.timers.length && !lock && screenWords && document.visibilityState === "visible") {
    words = `● ${screenWords} A sleeping screen cannot ring.`;
  }
  if (!words) { line?.remove(); return; }
  if (!line) {
    line = made("p", "hint");
    line.id = "hint";
    get("timers").prepend(line);
  }
  if (line.textContent !== words) line.textContent = words;
}

get("try").addEventListener("click", async () => {
  await wake();
  ["look", "expect", "latest"].forEach((stage, count) => sound(stage, count * 1.6));
  shake("look");
  states();
  say(heard() ? "Three calls: look, it may be done, latest." : "This browser gives no sound.");
});
get("notify").addEventListener("click", async () => {
  await Notification.requestPermission().catch(() => undefined);
  states();
});
// A browser stays silent until it has been touched; any touch will do.
for (const kind of ["pointerdown", "keydown"]) {
  addEventListener(kind, () => { if (!heard()) wake().then((works) => { if (works) states(); }); }, { passive: true });
}
addEventListener("storage", (event) => { if (event.key === KEPT) { load(); tick(); } });
for (const kind of ["visibilitychange", "pageshow", "focus"]) {
  (kind === "visibilitychange" ? document : window).addEventListener(kind, () => {
    keepOn().then(states);
    tick();
  });
}
addEventListener("hashchange", () => {
  const asked = pages.findIndex((page) => `#${page.id}` === location.hash);
  if (asked >= 0) open(asked);
});
// The browser goes to the step of the address by itself, past the timers above it.
addEventListener("load", () => scrollTo(0, 0));

document.body.classList.add("one");
document.querySelector(".where").hidden = false;
get("turn").hidden = false;
get("ready").hidden = false;
get("back").addEventListener("click", () => turn(-1));
get("next").addEventListener("click", () => turn(1));
load();
begin();
keepOn().then(states);
tick();
setInterval(tick, 1000);
try {
  new Worker(new URL("./stove-clock.js", import.meta.url)).onmessage = tick;
} catch {
  // The page's own clock goes on, more slowly when it is not in front.
}
