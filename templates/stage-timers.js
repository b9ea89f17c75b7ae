// Waits that run: each from the shot that begins it, several at once, by the clock on the wall, so that sleep and reload change nothing.
const LONGEST_OVER_MS = 3 * 3600000;  // a timer that nobody stopped is of no use any more
const RING_EVERY_MS = 12000, MOST_RINGS = 10;

/** `7:05`, `1:02:05`; what is over time counts up from 0. */
function clock(ms) {
  const s = Math.max(0, Math.floor(ms / 1000)), h = Math.floor(s / 3600), m = Math.floor(s / 60) % 60;
  return h ? `${h}:${two(m)}:${two(s % 60)}` : `${m}:${two(s % 60)}`;
}

/** Timers that run, those that end first first. */
function running(now = clockNow()) {
  return [...state.timers].filter(([, one]) => !one.stopped).map(([of, one]) => ({ of, left: one.from + one.ms - now, shot: shots.find((shot) => shot.stepKey === of) }))
    .filter((one) => one.shot && one.left > -LONGEST_OVER_MS).sort((a, b) => a.left - b.left);
}

/** Seconds are counted down to the end: 0:01 is shown until it is over. */
const leftWords = (one) => (one.left > 0 ? clock(one.left + 999) : `${clock(-one.left)} over`);

function showTimers() {
  const strip = byId("timers"), now = running();
  hide(strip, !now.length);
  while (strip.children.length > now.length) strip.lastChild.remove();
  now.forEach((one, n) => {
    const chip = strip.children[n] ?? strip.appendChild(button("", "timer"));
    if (!chip.firstChild) chip.append(element("b"), " ", element("span"));
    chip.dataset.of = one.of;
    chip.firstChild.dataset.shape = list.dishes.length > 1 ? SHAPES[one.shot.dishNumber % 4] : "";
    chip.firstChild.className = `hue${one.shot.dishNumber % 4}`;
    chip.classList.toggle("due", one.left <= 0);
    put(chip.firstChild, leftWords(one));
    put(chip.lastChild, one.shot.step.timer);
  });
  if (byId("timer-sheet").open) showTimer();
}

/** A good take starts the wait of its step. After one that is not, and after a timer that was stopped, a button does. */
function showWait(shot) {
  const place = byId("wait"), timer = state.timers.get(shot.stepKey), runs = timer && !timer.stopped;
  const here = shot.step?.wait && shot.begins && !rollOf(shot) && (timer || lastTake(shot));
  hide(place, !here || runs);
  if (!here || runs) return;
  put(place, timer ? `Start ${shot.step.waits} again` : `Start ${shot.step.waits}`);
  place.dataset.of = shot.stepKey;
}

// --- heard and felt ----------------------------------------------------------------------------------------------------
let sound = null;
const rung = new Map();

/** Browsers give sound only after a tap. */
function allowSound() {
  try {
    sound ??= new AudioContext();
    if (sound.state === "suspended") sound.resume();
  } catch {
    sound = null;
  }
}

function beep() {
  if (setting("sound") === "off") return;
  navigator.vibrate?.([400, 200, 400, 200, 400]);
  if (!sound) return;
  for (const n of [0, 1, 2]) {
    const tone = sound.createOscillator(), gain = sound.createGain(), from = sound.currentTime + n * 0.45;
    tone.frequency.value = 880;
    gain.gain.setValueAtTime(0.0001, from);
    gain.gain.exponentialRampToValueAtTime(0.5, from + 0.02);
    gain.gain.exponentialRampToValueAtTime(0.0001, from + 0.3);
    tone.connect(gain).connect(sound.destination);
    tone.start(from);
    tone.stop(from + 0.32);
  }
}

function ring() {
  const now = clockNow();
  for (const one of running(now)) {
    const name = `${one.of} ${state.timers.get(one.of).from}`, before = rung.get(name) ?? { n: 0, at: 0 };
    if (one.left > 0) rung.delete(name);
    else if (before.n < MOST_RINGS && now - before.at >= RING_EVERY_MS) {
      rung.set(name, { n: before.n + 1, at: now });
      if (!before.n) say(`${one.shot.step.timer}: time is up (${one.shot.step.waits})`);
      beep();
    }
  }
}

// --- the screen stays awake, where the browser lets it -------------------------------------------------------------------
let awake = null;
async function stayAwake() {
  if (document.hidden || (awake && !awake.released)) return;
  try {
    awake = await navigator.wakeLock.request("screen");
  } catch {
    awake = null;  // no such browser, or a battery that is nearly empty: the page works all the same
  }
}

function tick() {
  if (document.hidden) return ring();
  showTop();
  showTimers();
  put(byId("clock"), wallNow());
  return ring();
}

const wallNow = (later = 0) => wallAt(clockNow() + later, behind()).slice(11, 16);
