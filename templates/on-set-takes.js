// What the on-set page knows: the list, its time code, the takes, and how the device keeps them.
// First of the three that make one script (papers/stage.py); `shots` (JSON in the page) is what the list prints, everything else is state.
const list = JSON.parse(document.getElementById("shots").textContent);
const byId = (id) => document.getElementById(id);
const VERDICTS = { c: "circled", h: "hold", n: "NG" };
const COLUMNS = ["title", "dish", "card", "clip", "scene", "setup", "take", "step", "additions", "in", "out", "recorded", "verdict", "remark"];

// --- the list ------------------------------------------------------------------------------------------------------
const shots = list.shots.map(([slate, step, dish, names]) => ({
  slate, scene: slate.match(/^\d*/)[0], setup: slate.replace(/^\d*/, ""), step: step < 0 ? "" : list.steps[step],
  stepNumber: step, dish: dish < 0 ? "" : list.dishes[dish], names,
}));
const additions = shots.flatMap((shot, s) => shot.names.map((name) => ({ key: shot.stepNumber + "\n" + name, name, step: shot.stepNumber, slate: shot.slate, s })));
// A gate stands before a step; what is due there was decided when the page was made.
const gates = [];
for (const [s, base, more] of list.gates) {
  const steps = new Set([...(base < 0 ? [] : gates[base].steps), ...more]);
  gates.push({ s, step: shots[s].stepNumber, steps, due: additions.filter((a) => steps.has(a.step)) });
}
const dayOrder = list.day.flatMap(([first, count]) => Array.from({ length: count }, (_, n) => first + n));
const placeInDay = new Map(dayOrder.map((s, n) => [s, n]));

// --- time code: labels since midnight, drop-frame where the camera drops -------------------------------------------
const [num, den, nominal, drop] = list.rate;
const tenMinutes = nominal * 600 - 9 * drop;
const day = tenMinutes * 144;
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

function frameAt(date) {
  const ms = ((date.getHours() * 60 + date.getMinutes()) * 60 + date.getSeconds()) * 1000 + date.getMilliseconds();
  return Math.floor((ms * num) / den / 1000) % day;
}

const wall = (d) => `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())} ${two(d.getHours())}:${two(d.getMinutes())}:${two(d.getSeconds())}`;

// --- state, never changed in place, so that undo is the one before -------------------------------------------------
const fresh = () => ({ seq: 0, card: "1", clip: "1", takes: [], done: {}, roll: null });
let state = fresh();
let past = [];

const nextClip = (clip) => clip.replace(/\d+(?=\D*$)/, (n) => String(Number(n) + 1).padStart(n.length, "0"));
const takesOf = (s) => state.takes.filter((t) => t.s === s);
const nextTake = (s) => 1 + state.takes.reduce((most, t) => (t.s === s && t.n > most ? t.n : most), 0);

function change(made) {
  past.push(state);
  if (past.length > 50) past.shift();
  state = { ...state, ...made, seq: state.seq + 1 };
  save();
}

/** The additions without a circled take, by key. */
function uncircled() {
  const covered = new Set();
  for (const t of state.takes) if (t.v === "circled") for (const name of t.a) covered.add(shots[t.s].stepNumber + "\n" + name);
  return new Set(additions.map((a) => a.key).filter((key) => !covered.has(key)));
}

/** Where the day stands: which steps have begun, and which shot comes next; -1 when the day is over. */
function standing() {
  const touched = new Set(state.takes.map((t) => t.s));
  if (state.roll) touched.add(state.roll.s);
  const begun = new Set([...touched].map((s) => shots[s].stepNumber));
  const late = new Set(gates.filter((g) => begun.has(g.step)).flatMap((g) => [...g.steps]));
  const next = dayOrder.find((s) => !touched.has(s) && !late.has(shots[s].stepNumber));
  const over = next === undefined || (list.ends.length > 0 && list.ends.every((s) => touched.has(s)));
  const open = uncircled(), spoilt = new Set(additions.filter((a) => open.has(a.key) && state.takes.some((t) => t.s === a.s)).map((a) => a.key));
  return { begun, open, next: over ? -1 : next, spoilt, first: gates.find((g) => g.due.some((a) => spoilt.has(a.key))) };
}

/** What is missing at a gate: all that is due where its step has begun or comes next, else what was filmed and not circled. */
function missingAt(gate, at) {
  const due = gate.due.filter((a) => at.open.has(a.key));
  if (at.begun.has(gate.step) || (at.next >= 0 && shots[at.next].stepNumber === gate.step)) return due;
  return gate === at.first ? due.filter((a) => at.spoilt.has(a.key)) : [];
}

// --- kept on the device: local storage at each tap, and a second copy that is on the disk when a battery fails ------
const key = "scriptkit-takes-" + list.hash;
let disk = null;
let keeps = { local: true, disk: "indexedDB" in window };

function save() {
  const text = JSON.stringify(state);
  try {
    localStorage.setItem(key, text);
  } catch {
    keeps.local = false;
  }
  if (disk) {
    try {
      const work = disk.transaction("logs", "readwrite", { durability: "strict" });
      work.objectStore("logs").put(text, key);
      work.onabort = () => refused();
    } catch {
      refused();
    }
  }
  sayKept();
}

function refused() {
  keeps.disk = false;
  disk = null;
  sayKept();
}

function sayKept() {
  const told = keeps.local || keeps.disk ? "" : "This browser cannot save your takes. Tap Save log before you close it.";
  if (byId("kept").textContent !== told) byId("kept").textContent = told;
  byId("kept").hidden = !told;
}

/** The state of a text that was kept; null where it is none. */
function kept(text) {
  try {
    const read = JSON.parse(text);
    return read && Array.isArray(read.takes) && read.takes.every((t) => shots[t.s]) ? { ...fresh(), ...read } : null;
  } catch {
    return null;
  }
}

function adopt(text) {
  const found = kept(text);
  if (found && found.seq > state.seq) {
    state = found;
    past = [];
    showAll();
  }
}

function open() {
  try {
    adopt(localStorage.getItem(key));
  } catch {
    keeps.local = false;
  }
  try {
    const asked = indexedDB.open("scriptkit", 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore("logs");
    asked.onerror = () => refused();
    asked.onsuccess = () => {
      disk = asked.result;
      const got = disk.transaction("logs").objectStore("logs").get(key);
      got.onsuccess = () => (got.result && kept(got.result)?.seq > state.seq ? adopt(got.result) : state.seq && save());
    };
  } catch {
    refused();
  }
  sayKept();
}
