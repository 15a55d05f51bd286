// The timers of the stove as plain values: no clock, no page, no sound. Every time is milliseconds since 1970.
//
// A stay is what the page hands over: {id, page, recipe, food, zone, place, step, look, expect, latest, next,
// log}, the three in minutes from going in, or null; `log` is what a log of the clock begins with, or empty. A timer is a stay that has begun: with `begun` and its absolute `dues`.

export const STAGES = ["look", "expect", "latest"];
export const MINUTE = 60_000;
// How long after a call that nobody answered the next one comes.
export const AGAIN = { look: MINUTE, expect: MINUTE, latest: 20_000 };
export const FORGOTTEN = 24 * 60 * MINUTE;

export function started(stay, now) {
  const dues = {};
  for (const stage of STAGES) {
    const minutes = stay[stage];
    if (Number.isFinite(minutes) && minutes > 0) dues[stage] = Math.round(now + minutes * MINUTE);
  }
  // Two calls at one moment are one; the later name counts.
  if (dues.expect >= dues.latest) delete dues.expect;
  if (dues.look >= (dues.expect ?? dues.latest)) delete dues.look;
  return { ...stay, begun: now, dues, heard: {}, again: null };
}

/** The last stage that has come: "going", "look", "expect" or "latest". */
export function stage(timer, now) {
  let found = "going";
  for (const one of STAGES) if (timer.dues[one] !== undefined && timer.dues[one] <= now) found = one;
  return found;
}

/** What comes next, {stage, at}; null when nothing is left to wait for. "again" is a look put off. */
export function next(timer, now) {
  const coming = STAGES.filter((one) => timer.dues[one] > now).map((one) => ({ stage: one, at: timer.dues[one] }));
  if (timer.again !== null && timer.again > now) coming.push({ stage: "again", at: timer.again });
  coming.sort((one, other) => one.at - other.at);
  return coming[0] ?? null;
}

/** The stage that calls for the cook now, or null: it has come and nobody has answered it, or was put off until now. */
export function calling(timer, now) {
  const at = stage(timer, now);
  if (at === "going") return null;
  return !timer.heard[at] || (timer.again !== null && timer.again <= now) ? at : null;
}

/** Since when it has been calling, or null. */
export function since(timer, now) {
  const at = calling(timer, now);
  if (at === null) return null;
  return timer.again !== null && timer.again <= now ? Math.max(timer.again, timer.heard[at] ? 0 : timer.dues[at]) : timer.dues[at];
}

function allHeard(timer, now) {
  const heard = { ...timer.heard };
  for (const one of STAGES) if (timer.dues[one] <= now) heard[one] = true;
  return heard;
}

/** The cook has looked and leaves it in: quiet until the next stage. After the latest there is none: it goes on calling. */
export function seen(timer, now) {
  if (stage(timer, now) === "latest") return timer;
  return { ...timer, heard: allHeard(timer, now), again: null };
}

/**
 * Some minutes more. Before the first call the whole stay moves by them: it went in later, or it is larger. After it
 * they are counted from now, and what the recipe was placed with stays as it is.
 */
export function later(timer, minutes, now) {
  const more = minutes * MINUTE;
  if (stage(timer, now) === "going") {
    const dues = {};
    for (const one of STAGES) if (timer.dues[one] !== undefined) dues[one] = timer.dues[one] + more;
    return { ...timer, dues };
  }
  return { ...timer, heard: allHeard(timer, now), again: now + more };
}

export function empty() {
  return { timers: [] };
}

/** The one way in which the list changes; an action without effect gives the same list back. */
export function changed(state, action) {
  const { kind, id, now } = action;
  if (kind === "back") {
    // Undoes a tap: the timer as it was, without the one that followed it.
    const { timer } = action;
    const gone = (one) => one.page === timer.page && (one.id === timer.id || one.id === timer.next?.id);
    return { timers: [...state.timers.filter((one) => !gone(one)), timer] };
  }
  const at = state.timers.findIndex((one) => one.id === id && (action.page === undefined || one.page === action.page));
  const swap = (...made) => ({ timers: [...state.timers.slice(0, at), ...made, ...state.timers.slice(at + 1)] });
  if (kind === "start") {
    const { stay } = action;
    const rest = state.timers.filter((one) => !(one.id === stay.id && one.page === stay.page));
    return { timers: [...rest, started(stay, now)] };
  }
  if (at < 0) return state;
  const timer = state.timers[at];
  if (kind === "seen") return swap(seen(timer, now));
  if (kind === "later") return swap(later(timer, action.minutes, now));
  if (kind === "out") return swap();
  if (kind === "move") {
    if (!timer.next) return swap();
    const made = started(timer.next, now);
    // A stay without minutes waits for its sign; there is nothing to count.
    return Object.keys(made.dues).length ? swap(made) : swap();
  }
  throw new Error(`no such action: ${kind}`);
}

/** The timers with what calls first, then by what comes next. */
export function inOrder(state, now) {
  const weight = (one) => (calling(one, now) ? since(one, now) - 1e15 : (next(one, now)?.at ?? now));
  return [...state.timers].sort((one, other) => weight(one) - weight(other));
}

/** The first thing to come of all timers, {timer, stage, at}, or null. */
export function nextOfAll(state, now) {
  let found = null;
  for (const timer of state.timers) {
    const coming = next(timer, now);
    if (coming && (!found || coming.at < found.at)) found = { timer, ...coming };
  }
  return found;
}

/** Whether a call is to be made now, when the last one was at `last` (null: none yet) for the stage `was`. */
export function rings(timer, now, last, was) {
  const at = calling(timer, now);
  if (at === null) return null;
  return last === null || was !== at || now - last >= AGAIN[at] ? at : null;
}

const isText = (value, most = 200) => typeof value === "string" && value.length <= most;
const isTime = (value) => Number.isFinite(value) && value > 0;

function isStay(stay, depth = 0) {
  return (
    stay !== null && typeof stay === "object" && depth < 12 && isText(stay.id, 40) && isText(stay.page) &&
    isText(stay.recipe, 400) && isText(stay.food) && isText(stay.zone) && isText(stay.place) &&
    Number.isInteger(stay.step) && isText(stay.log ?? "", 600) && (stay.next === null || isStay(stay.next, depth + 1))
  );
}

function isTimer(timer, now) {
  if (!isStay(timer) || !isTime(timer.begun) || typeof timer.dues !== "object" || timer.dues === null) return false;
  const dues = Object.entries(timer.dues);
  if (!dues.length || !dues.every(([one, at]) => STAGES.includes(one) && isTime(at))) return false;
  if (typeof timer.heard !== "object" || timer.heard === null) return false;
  if (timer.again !== null && !isTime(timer.again)) return false;
  return Math.max(...dues.map(([, at]) => at)) + FORGOTTEN > now;
}

/** The list out of what was kept; what is no timer of ours, or was forgotten a day ago, is left out. */
export function read(words, now) {
  try {
    const kept = JSON.parse(words ?? "null");
    return { timers: Array.isArray(kept?.timers) ? kept.timers.filter((one) => isTimer(one, now)).slice(0, 40) : [] };
  } catch {
    return empty();
  }
}

export function written(state) {
  return JSON.stringify(state);
}

/** 754_000 ms as "12:34", 65 minutes as "1 h 05". Counted up, so that nothing is due while a second is left. */
export function left(milliseconds) {
  const seconds = Math.max(0, Math.ceil(milliseconds / 1000));
  const hours = Math.floor(seconds / 3600);
  const minutes = Math.floor((seconds % 3600) / 60);
  if (hours) return `${hours} h ${String(minutes).padStart(2, "0")}`;
  return `${minutes}:${String(seconds % 60).padStart(2, "0")}`;
}

/** How long ago: "just now", "4 minutes ago", "1 h 05 ago". */
export function ago(milliseconds) {
  const minutes = Math.floor(milliseconds / MINUTE);
  if (minutes < 1) return "just now";
  if (minutes < 60) return minutes === 1 ? "1 minute ago" : `${minutes} minutes ago`;
  return `${Math.floor(minutes / 60)} h ${String(minutes % 60).padStart(2, "0")} ago`;
}
