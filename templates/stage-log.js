// What the stage page knows: the list, its time code, and the events, of which everything that is shown is a replay.
// First of the scripts that papers/stage.py joins into one; `shots` (JSON in the page) is the list, everything else is events.
const list = JSON.parse(document.getElementById("shots").textContent);
const byId = (id) => document.getElementById(id);
const VERDICTS = { c: "circled", h: "hold", n: "NG" };
const FALSE_START = "false start";
const STOPPED_S = 10;  // a take that is no good and shorter was stopped before anything was done in it (log_cells.py)

// --- the list ------------------------------------------------------------------------------------------------------
const steps = list.steps.map(([id, name, vessel = "", heat = "", wait = 0, waits = "", care = [], timer = name]) => ({ id, name, vessel, heat, wait, waits, care, timer }));
const ends = new Set(list.ends);
const shots = list.shots.map(([slate, step, dish, added = [], picture = "", framing = "", sound = "", line = "", marks = 0, onto = ""], s) => ({
  s, slate, onto, stepNumber: step, dishNumber: dish, picture, framing, sound, line, step: steps[step] ?? null,
  dish: dish < 0 ? "" : list.dishes[dish][0], short: dish < 0 ? "" : list.dishes[dish][1],
  scene: slate.match(/^\d*/)[0], setup: slate.replace(/^\d*/, ""), names: added.map(([name]) => name),
  added: added.map(([name, amount, household, grams, prep = ""]) => ({ name, amount, household, grams, prep })),
  once: (marks & 1) > 0, begins: (marks & 2) > 0, runsOn: (marks & 4) > 0, poured: (marks & 8) > 0,
}));
// A shot is known by its dish, step and additions, never by its place: the list may be made again while the log goes on.
const seen = new Map();
for (const shot of shots) {
  shot.stepKey = [shot.dish, shot.step ? shot.step.id : ends.has(shot.s) ? "~closing" : "~opening"].join("\t");
  const ordinal = 1 + (seen.get(shot.stepKey) ?? 0);
  if (!shot.names.length) seen.set(shot.stepKey, ordinal);
  shot.key = `${shot.stepKey}\t${shot.names.length ? "+" + shot.names.join("; ") : "#" + ordinal}`;
}
const byKey = new Map(shots.map((shot) => [shot.key, shot]));
const ofStep = Map.groupBy ? Map.groupBy(shots, (shot) => shot.stepNumber) : new Map(shots.map((shot) => [shot.stepNumber, shots.filter((one) => one.stepNumber === shot.stepNumber)]));
const additions = shots.flatMap((shot) => shot.names.map((name) => ({ key: `${shot.stepKey}\t${name}`, name, step: shot.stepNumber, shot })));
const dayOrder = list.day.flatMap(([first, count]) => Array.from({ length: count }, (_, n) => first + n));
const placeInDay = new Map(dayOrder.map((s, n) => [s, n]));
// A gate stands before a step; what is due there was decided when the page was made.
const gates = [];
for (const [s, base, more] of list.gates) {
  const due = new Set([...(base < 0 ? [] : gates[base].steps), ...more]);
  gates.push({ s, step: shots[s].stepNumber, steps: due, due: additions.filter((a) => due.has(a.step)) });
}

// --- time code: labels since midnight, drop-frame where the camera drops -------------------------------------------
const [num, den, nominal, drop] = list.rate;
const tenMinutes = nominal * 600 - 9 * drop;
const day = tenMinutes * 144;
const DAY_MS = 86400000;
const two = (n) => String(n).padStart(2, "0");

function label(frame) {
  const tens = Math.floor(frame / tenMinutes), rest = frame % tenMinutes;
  const dropping = Math.floor(Math.max(0, rest - drop) / (nominal * 60 - drop));
  const labels = frame + drop * (9 * tens + dropping);
  const seconds = Math.floor(labels / nominal);
  return `${two(Math.floor(seconds / 3600) % 24)}:${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}${drop ? ";" : ":"}${two(labels % nominal)}`;
}

function frameOf(text) {
  const found = /^(\d\d):([0-5]\d):([0-5]\d)[:;.](\d\d)$/.exec(text);
  if (!found) return null;
  const [h, m, s, f] = found.slice(1).map(Number);
  const frame = ((h * 60 + m) * 60 + s) * nominal + f - drop * (h * 60 + m - Math.floor((h * 60 + m) / 10));
  return label(frame).replace(/\D/g, "") === text.replace(/\D/g, "") ? frame : null;  // a label that does not exist comes out as another
}

// One clock for all devices: the laptop's where the page is served, else this device's own. `ahead`: how far it is ahead of this device's.
let house = { ahead: 0, behind: null, trip: Infinity };
const behind = () => house.behind ?? new Date(Date.now()).getTimezoneOffset();
const clockNow = () => Date.now() + house.ahead;
const moment = (e) => e.t + (e.o ?? 0);
const wallAt = (ms, z) => new Date(ms - z * 60000).toISOString();

/** The clock on the wall when the event was tapped, as milliseconds that UTC's functions can take apart. */
const local = (e) => moment(e) - e.z * 60000;
const frameAt = (e) => Math.floor(((((local(e) % DAY_MS) + DAY_MS) % DAY_MS) * num) / den / 1000) % day;
const wall = (e) => wallAt(moment(e), e.z).slice(0, 19).replace("T", " ");

/** The frame at which a take ends; null where two clocks contradict each other: before it began, or over an hour later on another day. */
function outOf(take, e) {
  const frame = frameAt(e), over = frame < take.i ? frame + day - take.i : 0;
  return moment(e) < take.t0 || over > 3600 * nominal ? null : frame;
}

// --- events: what was tapped, never changed, each with an id of its own --------------------------------------------
// `n` is greater than any number that the device had seen, and at least the milliseconds of its clock, so that the events of several
// devices have one order; `t` is the device's clock (milliseconds), `o` how far the laptop's was ahead of it, `z` the time zone (minutes
// behind UTC).
const inOrder = (a, b) => a.n - b.n || (a.id < b.id ? -1 : 1);
const nextClip = (clip) => clip.replace(/\d+(?=\D*$)/, (n) => String(Number(n) + 1).padStart(n.length, "0"));
const fresh = () => ({ takes: [], byId: new Map(), byShot: new Map(), rolls: new Map(), twins: new Map(), card: "1", clip: "1", weights: new Map(), timers: new Map(), archived: [] });

function addTake(state, take) {
  const others = state.byShot.get(take.s) ?? [];
  take.n = take.n || 1 + others.reduce((most, one) => Math.max(most, one.n), 0);
  take.was = [];
  state.takes.push(take);
  state.byId.set(take.id, take);
  state.byShot.set(take.s, [...others, take]);
  begin(state, take);
}

/** The wait of a step starts when the take that begins it is good enough; a timer that runs stays as it is. */
function begin(state, take) {
  const shot = byKey.get(take.s);
  if (shot?.begins && take.t && (take.v === "circled" || take.v === "hold") && !state.timers.has(shot.stepKey)) {
    state.timers.set(shot.stepKey, { from: take.t, ms: shot.step.wait });
  }
}

/** What rolls under this id, or under that of its twin: the same take, begun on a second device as well. */
function rolling(state, of) {
  const id = state.twins.get(of) ?? of;
  return [...state.rolls.values()].find((roll) => roll.id === id);
}

function closeRoll(state, roll, e, verdict, card, clip) {
  state.rolls.delete(roll.s);
  addTake(state, { id: roll.id, d: roll.d, s: roll.s, l: roll.l, a: roll.a, v: verdict, i: roll.i, o: outOf(roll, e), at: wall(e), t0: roll.t0, t: moment(e), card, clip, r: "", unjudged: e.k === "roll", by: e.d });
  state.card = card;
  state.clip = nextClip(clip);
}

const sameTake = (t) => JSON.stringify([t.s, t.v, t.i, t.o, t.at, t.card, t.clip, t.a, t.r]);

const APPLY = {
  // A roll ends another only where the person said so (`over`): else two devices rolled, and each will judge its own.
  roll(state, e) {
    for (const of of e.over ?? []) {
      const ended = rolling(state, of);
      if (ended) closeRoll(state, ended, e, FALSE_START, state.card, state.clip);
    }
    if (state.rolls.has(e.s)) state.twins.set(e.id, state.rolls.get(e.s).id);
    else state.rolls.set(e.s, { id: e.id, d: e.d, s: e.s, l: e.l, a: e.a, i: frameAt(e), t0: moment(e) });
  },
  judge(state, e) {
    const roll = rolling(state, e.of);
    if (roll) return closeRoll(state, roll, e, e.v, e.card, e.clip);
    const take = state.byId.get(state.twins.get(e.of) ?? e.of);
    // Another device's roll ended it, and it ran on until it was judged here.
    if (take?.unjudged) Object.assign(take, { o: outOf(take, e), at: wall(e), unjudged: false });
    if (take) return APPLY.change(state, e);  // judged on the other device already
    addTake(state, { id: e.id, s: e.s, l: e.l, a: e.a, v: e.v, i: null, o: frameAt(e), at: wall(e), t: moment(e), card: e.card, clip: e.clip, r: "" });
    state.card = e.card;
    return (state.clip = nextClip(e.clip));
  },
  change(state, e) {
    const take = state.byId.get(state.twins.get(e.of) ?? e.of);
    if (!take) return;
    if ("v" in e && e.v !== take.v) {
      take.was.push(take.v);
      take.v = e.v;
      begin(state, take);
    }
    if ("r" in e) take.r = e.r;
  },
  cover(state, e) {
    const at = rolling(state, e.of) ?? state.byId.get(state.twins.get(e.of) ?? e.of);
    if (at) at.a = e.a;
  },
  card: (state, e) => (state.card = e.v),
  clip: (state, e) => (state.clip = e.v),
  weigh(state, e) {
    state.weights.delete(e.of);
    if (e.g !== null) state.weights.set(e.of, { g: e.g, at: wall(e) });
  },
  timer(state, e) {
    const at = state.timers.get(e.of);
    if (e.op === "start") state.timers.set(e.of, { from: moment(e), ms: e.ms });
    else if (at && !at.stopped) state.timers.set(e.of, e.op === "more" ? { ...at, ms: at.ms + e.ms } : { ...at, stopped: true });
  },
  archive(state, e) {
    for (const roll of [...state.rolls.values()]) closeRoll(state, roll, e, FALSE_START, state.card, state.clip);
    const { card, clip, archived, takes, weights } = state;
    Object.assign(state, fresh(), { card, clip, archived: [...archived, { id: e.id, at: wall(e), takes, weights }] });
  },
  read(state, e) {
    const have = new Set(state.takes.map(sameTake));
    const added = e.takes.filter((t) => !have.has(sameTake(t)));
    for (const take of added) addTake(state, { ...take, id: `${e.id}:${e.takes.indexOf(take)}` });
    for (const [of, g, at] of e.weights) state.weights.set(of, { g, at });
    if (added.length) Object.assign(state, { card: added.at(-1).card || state.card, clip: nextClip(added.at(-1).clip) || state.clip });
  },
};

/** The events that are taken back. An `undo` names one event; nobody undoes an `undo`. */
const undone = (events) => new Set(events.filter((e) => e.k === "undo").map((e) => e.of));

function replay(events) {
  const state = fresh(), gone = undone(events);
  for (const e of events) if (!gone.has(e.id)) APPLY[e.k]?.(state, e);
  return state;
}

let events = [];
let known = new Set();
let state = fresh();
let device = "";
const ours = new Set();  // what this device was ever called: a browser may lose the one store and keep the other
const session = Array.from(crypto.getRandomValues(new Uint8Array(6)), (n) => (n % 36).toString(36)).join("");

/** A tap becomes an event: kept, applied, and sent where the page is served. */
function log(k, more = {}) {
  const t = Date.now(), n = Math.max(1 + (events.at(-1)?.n ?? 0), clockNow());
  const e = { id: `${session}-${n}`, n, d: device, t, z: behind(), ...(house.trip < Infinity ? { o: house.ahead } : {}), k, ...more };
  events.push(e);
  known.add(e.id);
  if (k === "undo") state = replay(events);
  else APPLY[k](state, e);
  keep([e]);
  return e;
}

/** Events of another page or device, or of the disk: each counts once, and they may come in any order. True where any was new. */
function receive(found) {
  const fresher = new Map();
  for (const e of found) {
    if (e && typeof e.id === "string" && Number.isSafeInteger(e.n) && !known.has(e.id) && ("o" in e || !fresher.has(e.id))) fresher.set(e.id, e);
  }
  if (!fresher.size) return false;
  for (const id of fresher.keys()) known.add(id);
  events = [...events, ...fresher.values()].sort(inOrder);
  state = replay(events);
  return true;
}

/** The last tap of this device that still counts. */
function lastTap() {
  const gone = undone(events);
  return events.findLast((e) => ours.has(e.d) && e.k !== "undo" && !gone.has(e.id)) ?? null;
}
