// Three calls that are told apart by ear: two notes going up (look), three notes (it may be done), a fast alarm (now).

const NOTES = {
  look: [[0, 660, 0.16], [0.2, 880, 0.24]],
  expect: [[0, 660, 0.16], [0.2, 880, 0.16], [0.4, 1175, 0.34]],
  latest: [0, 0.16, 0.32, 0.48, 0.9, 1.06, 1.22, 1.38].map((at, count) => [at, count % 2 ? 988 : 1319, 0.12]),
};
const SHAKES = {
  look: [180, 120, 180],
  expect: [180, 120, 180, 120, 360],
  latest: [400, 150, 400, 150, 400, 150, 800],
};

let context = null;

/** Whether a sound can be heard now; browsers keep a page silent until it has been touched. */
export function ready() {
  return context !== null && context.state === "running";
}

/** Called from a touch or a key; afterwards `ready` tells whether it worked. */
export async function wake() {
  const Context = window.AudioContext ?? window.webkitAudioContext;
  if (!Context) return false;
  context ??= new Context();
  if (context.state !== "running") await context.resume().catch(() => undefined);
  return ready();
}

function note(at, hertz, seconds, wave) {
  const tone = context.createOscillator();
  const volume = context.createGain();
  tone.type = wave;
  tone.frequency.value = hertz;
  volume.gain.setValueAtTime(0.0001, at);
  volume.gain.exponentialRampToValueAtTime(0.9, at + 0.015);
  volume.gain.setValueAtTime(0.9, at + seconds - 0.03);
  volume.gain.exponentialRampToValueAtTime(0.0001, at + seconds);
  tone.connect(volume).connect(context.destination);
  tone.start(at);
  tone.stop(at + seconds + 0.02);
}

export function sound(stage, after = 0) {
  if (!ready()) return false;
  const start = context.currentTime + 0.05 + after;
  for (const [at, hertz, seconds] of NOTES[stage]) note(start + at, hertz, seconds, stage === "latest" ? "square" : "triangle");
  return true;
}

export function shake(stage) {
  try {
    return navigator.vibrate ? navigator.vibrate(SHAKES[stage]) : false;
  } catch {
    return false;
  }
}
