// The stage page's taps: what each does, by finger, swipe, key or pedal. Last of the scripts that make one (papers/stage.py).

// --- takes -----------------------------------------------------------------------------------------------------------
const clip = (shot) => ({ s: shot.key, l: shot.slate, a: shot.names });

const endTake = ({ id, s, l, a }, v) => log("judge", { of: id, s, l, a, v, card: state.card, clip: state.clip });

/** Shots that roll, in words: where one rolls on another device, that is said, for it may be in good hands. */
function stillRolling(rolls) {
  const away = rolls.some((one) => !ours.has(one.d)) ? ", on another device" : "";
  return `${listed(rolls.map(slateOf))} ${rolls.length > 1 ? "are" : "is"} still rolling${away}.`;
}

function roll(shot) {
  const rolls = otherRolls(shot), name = rolls.length ? listed(rolls.map(slateOf)) : "", back = byKey.get(rolls[0]?.s);
  const start = (over) => { log("roll", { ...clip(shot), ...(over.length ? { over } : {}) }); tapped(`Rolling ${shot.slate} take ${1 + (lastTake(shot)?.n ?? 0)}`); };
  if (!rolls.length) return start([]);
  return ask(stillRolling(rolls),
    [`Circle ${name}, then roll ${shot.slate}`, () => { for (const one of rolls) endTake(one, "circled"); start([]); }],
    [`${name} ${rolls.length > 1 ? "were false starts" : "was a false start"}: roll ${shot.slate}`, () => start(rolls.map((one) => one.id))],
    ...(rolls.some((one) => !ours.has(one.d)) ? [[`Roll ${shot.slate} as well`, () => start([])]] : []),
    ...(back ? [[`Back to ${slateOf(rolls[0])}`, () => go(back)]] : []));
}

/** Asks which take is meant where more than one may be: one that rolls elsewhere, or one of this shot that was cut short. */
function judge(shot, verdict) {
  const own = rollOf(shot), rolls = own ? [] : otherRolls(shot), last = own ? null : lastTake(shot);
  const done = (of) => { if (current() !== of) go(of); tapped(`${of.slate} take ${lastTake(of).n} ${MEANT[verdict]}`); };
  const ends = (take) => () => { endTake(take, verdict); done(byKey.get(take.s) ?? shot); };
  if (own) return ends(own)();
  const alone = () => { log("judge", { ...clip(shot), of: "", v: verdict, card: state.card, clip: state.clip }); done(shot); };
  const answers = rolls.map((one) => [`${slateOf(one)}, which rolls`, ends(one)]), told = rolls.length ? [stillRolling(rolls)] : [];
  if (cutShort(last)) {
    const elsewhere = ours.has(last.d) && !ours.has(last.by);
    told.unshift(`${shot.slate} take ${last.n} was ended as a false start at ${last.at.slice(11, 16)}${elsewhere ? ", on another device" : ""}.`);
    if (elsewhere) answers.unshift([`Take ${last.n}, which ran until now`, ends(last)]);
    answers.unshift([`Take ${last.n}, as it was ended`, () => { log("change", { of: last.id, v: verdict }); done(shot); }]);
  }
  if (!answers.length) return alone();
  return ask(`${told.join(" ")} Which take is ${verdict}?`, ...answers, [cutShort(last) ? "Another take, without a roll" : `${shot.slate}, without a roll`, alone]);
}

function amend(more, told) {
  const shot = current(), take = lastTake(shot);
  if (!take) return judge(shot, more.v);
  log("change", { of: take.id, ...more });
  return tapped(told(shot, take));
}

function also(name) {
  const shot = current(), on = rollOf(shot) ?? lastTake(shot);
  if (!on) return;
  const order = ofStep.get(shot.stepNumber).flatMap((one) => one.names), wanted = on.a.includes(name) ? on.a.filter((a) => a !== name) : [...on.a, name];
  log("cover", { of: on.id, a: order.filter((a) => wanted.includes(a)) });
  tapped(`The clip covers ${wanted.join(", ") || "no addition"}`);
}

const MEANT = { circled: "circled: use it", hold: "hold: perhaps use it", NG: "NG: no good" };
const DONE = {
  roll: (e) => `${e.l} is not rolling any more`, judge: (e) => `${e.l} ${e.v}`, change: () => "the change", cover: () => "what the clip covers", card: () => "the card",
  clip: () => "the clip", weigh: () => "the weight", timer: () => "the timer", archive: () => "the archive, the takes are back", read: () => "the log that was opened",
};

function undo() {
  const last = lastTap();
  if (!last) return say("There is nothing to undo");
  log("undo", { of: last.id });
  showAll();
  if (byId("change-sheet").open) showChange();
  return say(`Undone: ${DONE[last.k](last)}`);
}

function tapped(told) {
  showState();
  showTimers();
  if (byId("change-sheet").open) showChange();
  if (byId("desk-sheet").open) showDesk();
  say(told);
}

function archive() {
  const takes = state.takes.length + state.rolls.size;
  log("archive");
  showAll();
  say(`${many(takes, "take")} put into the archive. Undo brings them back`);
}

// --- wiring ----------------------------------------------------------------------------------------------------------
const ACTS = {
  r: () => roll(current()), c: () => judge(current(), "circled"), h: () => judge(current(), "hold"), n: () => judge(current(), "NG"),
  undo, also: (tap) => also(tap.dataset.name),
  list: openList,
  jump: (tap) => { if (tap.dataset.s === "") return; for (const open of document.querySelectorAll("dialog[open]")) open.close(); go(shots[Number(tap.dataset.s)]); },
  desk: () => { openSheet("desk"); showDesk(); },
  change: () => { openSheet("change"); showChange(); },
  verdict: (tap) => amend({ v: VERDICTS[tap.dataset.v] }, (shot, take) => `${shot.slate} take ${take.n} is now ${take.v}`),
  weigh: () => { openSheet("weigh"); showWeigh(); },
  timer: (tap) => { byId("timer-sheet").dataset.of = tap.dataset.of; openSheet("timer"); showTimer(); },
  start: (tap) => { log("timer", { of: tap.dataset.of, op: "start", ms: current().step.wait }); tapped(`Started ${current().step.waits}`); },
  more: () => { log("timer", { of: byId("timer-sheet").dataset.of, op: "more", ms: 60000 }); showTimers(); },
  stop: () => { log("timer", { of: byId("timer-sheet").dataset.of, op: "stop", ms: 0 }); byId("timer-sheet").close(); tapped("Timer stopped"); },
  answer: (tap) => { const chosen = answer[Number(tap.dataset.n)]; byId("ask-sheet").close(); chosen(); },
  close: (tap) => tap.closest("dialog").close(),
  save: () => saveLog(), "save-archive": (tap) => { const one = state.archived[Number(tap.dataset.n)]; saveLog(one.takes, one.weights, `takes-${one.at.slice(0, 10)}`); },
  archive,
};
const SETTLE_MS = 300;  // what has just been tapped does not take the second half of a double tap
let settled = 0;

document.addEventListener("click", (event) => {
  const tap = event.target.closest("button");
  if (!tap) return;
  setTimeout(allowSound);  // takes longer than the tap
  setTimeout(stayAwake);
  const hands = tap.closest("#hands, #next"), now = performance.now();
  if (hands && now < settled) return;
  const told = tap.closest("#hands") && idle(tap.dataset.act, current());
  if (told) return say(told);
  ACTS[tap.dataset.act]?.(tap);
  if (hands) settled = now + SETTLE_MS;
});

document.addEventListener("change", (event) => {
  const field = event.target, { id, value } = field;
  if (id === "card" || id === "clip") {
    if (value.trim() && value.trim() !== state[id]) log(id, { v: value.trim() });
    field.value = state[id];
    showTop();
  } else if (id === "remark") amend({ r: value }, (shot, take) => `Remark on ${shot.slate} take ${take.n}`);
  else if (field.dataset.of) weigh(field);
  else if (id === "log" && field.files[0]) openLog(field.files[0]);
  else if (field.closest("#settings")) { setting(field.name, value); applySettings(); }
});

document.addEventListener("input", (event) => event.target.id === "search" && showList());

const FORWARD = new Set(["ArrowRight", "ArrowDown", "PageDown"]), BACK = new Set(["ArrowLeft", "ArrowUp", "PageUp"]);
document.addEventListener("keydown", (event) => {
  if (document.querySelector("dialog[open]") || event.altKey || event.ctrlKey || event.metaKey || event.target.matches("input")) return;
  const by = FORWARD.has(event.key) ? 1 : BACK.has(event.key) ? -1 : 0;
  if (!by) return;
  event.preventDefault();
  go(following(by));
});

let touch = null;
byId("shot").addEventListener("touchstart", (event) => { touch = event.touches.length === 1 ? event.touches[0] : null; }, { passive: true });
byId("shot").addEventListener("touchend", (event) => {
  if (!touch) return;
  const { clientX, clientY } = event.changedTouches[0], x = clientX - touch.clientX, y = clientY - touch.clientY;
  touch = null;
  if (Math.abs(x) > 56 && Math.abs(x) > 2 * Math.abs(y)) go(following(x < 0 ? 1 : -1));
}, { passive: true });

document.addEventListener("visibilitychange", () => { if (!document.hidden) { stayAwake(); tick(); } });
for (const dialog of document.querySelectorAll("dialog")) dialog.addEventListener("click", (event) => event.target === dialog && dialog.close());

open();
applySettings();
at = whereTheDayIs();
hide(byId("stage"), false);
showAll();
tick();
setInterval(tick, 250);
setTimeout(makeRows, 500);
if (list.served) {
  sayLaptop();
  send();
  setInterval(() => document.hidden || send(), SEND_EVERY_MS);
}
