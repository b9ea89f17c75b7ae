// How the device keeps the events: in local storage at each tap, and a second copy that is on the disk when a battery fails.
const shelf = "scriptkit-stage-" + list.key;
const CHUNK = 64;  // events in one entry of local storage: a tap writes one entry, however long the log is
let disk = null;
let keeps = { local: true, disk: "indexedDB" in window };
let chunk = { n: 0, texts: [] };

function setting(name, value) {
  try {
    if (value === undefined) return localStorage.getItem(`${shelf}:${name}`);
    localStorage.setItem(`${shelf}:${name}`, value);
  } catch {
    keeps.local = false;
  }
  return null;
}

/** New taps: kept here, and sent where the page is served. */
function keep(added) {
  store(added);
  sayLaptop();
  send();
}

/** Events to the device: each page that is open writes entries of its own, so that two pages never write over each other. */
function store(added) {
  for (const e of added) {
    if (chunk.texts.length === CHUNK) chunk = { n: chunk.n + 1, texts: [] };
    chunk.texts.push(JSON.stringify(e));
    setting(`log:${session}:${chunk.n}`, `[${chunk.texts.join()}]`);
  }
  toDisk(added);
  sayKept();
}

/** The same name at every opening, for Undo takes back the taps of this device alone. */
function beCalled(name) {
  device = name;
  ours.add(name);
  setting("device", name);
}

function toDisk(added, called = "") {
  if (!disk) return;
  try {
    const work = disk.transaction("events", "readwrite", { durability: "strict" });
    for (const e of added) work.objectStore("events").put(e, `${list.key} ${e.id}`);
    if (called) work.objectStore("events").put(called, `${list.key}|device`);
    work.onabort = () => refusedByDisk();
  } catch {
    refusedByDisk();
  }
}

function refusedByDisk() {
  keeps.disk = false;
  disk = null;
  sayKept();
}

function sayKept() {
  const told = keeps.local || keeps.disk ? "" : "This browser cannot save your takes. Save the log before you close it.";
  put(byId("kept"), told);
  byId("kept").hidden = !told;
}

function eventsIn(text) {
  try {
    const found = JSON.parse(text);
    return Array.isArray(found) ? found : [];
  } catch {
    return [];
  }
}

function open() {
  beCalled(setting("device") || session);
  try {
    const names = Array.from({ length: localStorage.length }, (_, n) => localStorage.key(n)).filter((name) => name.startsWith(`${shelf}:log:`));
    receive(names.flatMap((name) => eventsIn(localStorage.getItem(name))));
  } catch {
    keeps.local = false;
  }
  try {
    const asked = indexedDB.open("scriptkit-stage", 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore("events");
    asked.onerror = () => refusedByDisk();
    asked.onsuccess = () => {
      disk = asked.result;
      const stored = disk.transaction("events").objectStore("events"), name = stored.get(`${list.key}|device`);
      name.onsuccess = () => beCalled(name.result || device);
      const got = stored.getAll(IDBKeyRange.bound(list.key + " ", list.key + "!"));
      got.onsuccess = () => {
        const there = new Set(got.result.map((e) => e.id));
        if (receive(got.result)) showAll();
        else showTop();  // Undo may have something to take back, now that the name is known
        toDisk(events.filter((e) => !there.has(e.id)), device);
      };
    };
  } catch {
    refusedByDisk();
  }
  sayKept();
}

/** Another page of this browser has written. */
window.addEventListener("storage", (event) => {
  if (event.key?.startsWith(`${shelf}:log:`) && event.newValue && receive(eventsIn(event.newValue))) showAll();
});
