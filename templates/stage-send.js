// Where the page is served, its taps go to the laptop, and those of the other devices come from there. What the laptop has not taken stays
// here and is sent later. A page from the disk asks nobody.
const SEND_EVERY_MS = 2000, AT_ONCE = 200;
let laptop = { run: "", next: 0, met: false, has: new Set(), lost: 0, edition: "" };
let sending = false;

const waiting = () => events.filter((e) => !laptop.has.has(e.id));

async function send() {
  if (!list.served || sending) return;
  sending = true;
  let more = false;
  try {
    const sent = laptop.run ? waiting().slice(0, AT_ONCE) : [];  // first ask what is there
    const asked = performance.now();
    const got = await fetch("taps", { method: "POST", body: JSON.stringify({ run: laptop.run, since: laptop.next, events: sent }) });
    if (!got.ok) throw new Error(String(got.status));
    const found = await got.json();
    learn(performance.now() - asked, found.now, found.behind);
    if (found.run !== laptop.run) laptop = { ...laptop, run: found.run, has: new Set() };
    for (const e of found.events) laptop.has.add(e.id);
    const fresher = found.events.filter((e) => !known.has(e.id)), ran = [...state.rolls.values()].filter((roll) => ours.has(roll.d));
    if (receive(fresher)) {
      store(fresher);
      if (!laptop.met && setting("at") === null) at = whereTheDayIs();  // a phone that takes the place of another
      showAll();
      const ended = ran.map((roll) => state.byId.get(roll.id)).find((take) => take && !ours.has(take.by));
      if (ended) say(`${ended.l} take ${ended.n} ${ended.v}, on another device`);
    }
    adopt(new Map(found.events.map((e) => [e.id, e])));
    more = found.more || waiting().length > 0;
    if (laptop.edition && laptop.edition !== found.edition && !state.rolls.size && !document.querySelector("dialog[open]")) location.reload();
    laptop = { ...laptop, next: found.next, met: laptop.met || !found.more, lost: 0, edition: laptop.edition || found.edition };
  } catch {
    laptop.lost += 1;
  }
  sending = false;
  sayLaptop();
  if (more && !laptop.lost) setTimeout(send, 50);
}

function sayLaptop() {
  const n = waiting().length;
  hide(byId("laptop"), !list.served);
  const going = n ? `${many(n, "tap")} on the way to the laptop` : "The laptop has every tap";
  put(byId("laptop"), laptop.lost > 1 ? `The laptop does not answer: ${many(n, "tap")} kept here` : going);
  byId("laptop").classList.toggle("alert", laptop.lost > 1);
  hide(byId("away"), laptop.lost < 2);
  put(byId("away"), laptop.lost > 1 ? `${many(n, "tap")} wait${n === 1 ? "s" : ""} for the laptop` : "");
}

// The laptop's clock, from its answer to a question that took `trip` milliseconds. The quickest answer tells it best, until one
// contradicts it: then this device's clock was set. Taps from before the first answer learn it too.
function learn(trip, now, zone) {
  if (trip > 10000) return;
  const ahead = Math.round(now + trip / 2 - Date.now());
  const contradicts = Math.abs(ahead - house.ahead) > (trip + house.trip) / 2 + 20;
  if (trip >= house.trip && !contradicts && zone === house.behind) return;
  const first = house.trip === Infinity;
  house = { ahead, behind: zone, trip };
  const early = first ? events.filter((e) => ours.has(e.d) && !("o" in e)) : [];
  for (const e of early) Object.assign(e, { o: ahead, z: zone });
  if (!early.length) return;
  store(early);
  state = replay(events);
  showAll();
}

/** What the laptop has of an event counts, where a page that was closed since did not keep how far its clock was off. */
function adopt(copies) {
  if (!events.some((e) => copies.has(e.id) && copies.get(e.id).o !== e.o)) return;
  events = events.map((e) => copies.get(e.id) ?? e);
  state = replay(events);
  showAll();
}
