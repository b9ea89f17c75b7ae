// Where the page is served, its taps go to the laptop, and those of the other devices come from there. What the laptop has not taken stays
// here and is sent later. A page from the disk asks nobody.
const SEND_EVERY_MS = 2000, AT_ONCE = 200;
let laptop = { run: "", next: 0, has: new Set(), clocks: {}, lost: 0, edition: "" };
let sending = false;

const waiting = () => events.filter((e) => !laptop.has.has(e.id));

async function send() {
  if (!list.served || sending) return;
  sending = true;
  let more = false;
  try {
    const sent = laptop.run ? waiting().slice(0, AT_ONCE) : [];  // first ask what is there
    const got = await fetch("taps", { method: "POST", body: JSON.stringify({ run: laptop.run, since: laptop.next, device, now: Date.now(), events: sent }) });
    if (!got.ok) throw new Error(String(got.status));
    const found = await got.json();
    if (found.run !== laptop.run) laptop = { ...laptop, run: found.run, has: new Set() };
    for (const e of found.events) laptop.has.add(e.id);
    const fresher = found.events.filter((e) => !known.has(e.id));
    if (receive(fresher)) { store(fresher); showAll(); }
    more = found.more || waiting().length > 0;
    if (laptop.edition && laptop.edition !== found.edition && !state.roll && !document.querySelector("dialog[open]")) location.reload();
    laptop = { ...laptop, next: found.next, clocks: found.clocks, lost: 0, edition: laptop.edition || found.edition };
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
  put(byId("laptop"), laptop.lost > 1 ? `The laptop does not answer: ${many(n, "tap")} wait here` : "The laptop has every tap");
  byId("laptop").classList.toggle("alert", laptop.lost > 1);
  hide(byId("away"), laptop.lost < 2);
  put(byId("away"), laptop.lost > 1 ? `${many(n, "tap")} wait for the laptop` : "");
}

/** How far the clock of the device that made an event is from this one's: its timers are right here too. */
const shift = (maker) => (maker in laptop.clocks && device in laptop.clocks ? laptop.clocks[maker] - laptop.clocks[device] : 0);
