// The on-set page: takes stamped at a tap, and what is still missing before an irreversible step.
// Plain JavaScript without requests; it comes after on-set-takes.js and on-set-log.js, in one script with them.

// --- the page ------------------------------------------------------------------------------------------------------
const element = (name, text, kind) => {
  const made = document.createElement(name);
  if (text) made.textContent = text;
  if (kind) made.className = kind;
  return made;
};
const many = (n, word) => `${n} ${word}${n === 1 ? "" : "s"}`;
const put = (at, text) => at.textContent !== text && (at.textContent = text);
const button = (text, act) => {
  const made = element("button", text);
  made.type = "button";
  made.dataset.act = act;
  return made;
};

const views = [];
const gateViews = [];

/** A row of buttons, to be copied for each shot. */
function pattern(columns) {
  const row = element("tr", "", "takes"), cell = element("td"), pad = element("div", "", "pad");
  cell.colSpan = columns;
  pad.append(element("span", "", "count"), button("Roll", "r"), button("Circle", "c"), button("Hold", "h"), button("NG", "n"));
  cell.append(pad, element("p", "", "told"));
  row.append(cell);
  return row;
}

function build() {
  const ticks = [...document.querySelectorAll("main td.tick")];
  const made = ticks.length ? pattern(ticks[0].parentElement.cells.length) : null;
  ticks.forEach((tick, s) => {
    const row = tick.parentElement, takes = made.cloneNode(true), cell = takes.firstChild;
    const [count, ...buttons] = cell.firstChild.children;
    for (const at of buttons) at.setAttribute("aria-label", `${at.textContent} ${shots[s].slate}`);
    buttons[0].setAttribute("aria-pressed", "false");
    takes.dataset.s = row.dataset.s = s;
    row.classList.add("shot");
    row.after(takes);
    views.push({ row, takes, home: row.parentElement, box: tick.querySelector("input"), cell, count, roll: buttons[0], told: cell.lastChild, remark: null });
  });
  for (const gate of gates) {
    const row = element("tr", "", "gate"), cell = element("td"), head = element("p"), names = element("ul");
    const at = views[gate.s].row;
    cell.colSpan = at.cells.length;
    cell.append(head, names);
    row.append(cell);
    at.before(row);
    views[gate.s].gate = row;
    gateViews.push({ row, head, names });
  }
  if (ticks.length) {
    const table = ticks[0].closest("table"), whole = table.cloneNode(false);
    for (const part of [table.querySelector("colgroup"), table.tHead]) if (part) whole.append(part.cloneNode(true));
    whole.append(element("tbody"));
    byId("day").append(whole);
    arrange(true);
  }
  byId("on-set").hidden = byId("bar").hidden = false;
}

/** The rows in the order of the day; or, for the printer, in their blocks. */
function arrange(day) {
  const body = document.querySelector("#day tbody");
  if (!body || byId("day").hidden !== day) return;
  for (const s of day ? dayOrder : shots.keys()) {
    const { gate, row, takes, home } = views[s];
    for (const one of [gate, row, takes]) if (one) (day ? body : home).append(one);
  }
  byId("day").hidden = !day;
  for (const block of document.querySelectorAll(".block")) block.hidden = day;
}

const short = (t) => `${t.n} ${t.v}${t.i === null || t.o === null ? "" : ` ${label(t.i)}–${label(t.o)}`}${t.r ? ` (${t.r})` : ""}`;

function showShot(s) {
  const view = views[s], takes = takesOf(s), rolls = state.roll?.s === s;
  put(view.count, `Take ${nextTake(s)}`);
  put(view.told, takes.map(short).join(" · "));
  view.box.checked = Boolean(state.done[shots[s].slate]);
  view.roll.setAttribute("aria-pressed", String(rolls));
  view.cell.parentElement.classList.toggle("rolls", rolls);
  view.cell.parentElement.classList.toggle("got", takes.some((t) => t.v === "circled"));
  const last = takes.at(-1);
  if (last && !view.remark) {
    const name = element("label", "Remark ", "remark");
    view.remark = element("input");
    view.remark.maxLength = 400;
    view.remark.dataset.act = "remark";
    name.append(view.remark);
    view.cell.append(name);
  }
  if (view.remark) {
    view.remark.parentElement.hidden = !last;
    view.remark.parentElement.firstChild.data = last ? `Remark on take ${last.n} ` : "Remark ";
    if (document.activeElement !== view.remark || !last) view.remark.value = last ? last.r : "";
  }
}

const MOST_AT_A_GATE = 6;
const words = (a) => `${a.name} (${a.slate})`;

function fill(names, missing, most) {
  const texts = missing.slice(0, most).map(words);
  if (missing.length > most) texts.push(`and ${missing.length - most} more`);
  if (texts.join("\n") === names.dataset.shown) return;
  names.dataset.shown = texts.join("\n");
  names.replaceChildren(...texts.map((text) => element("li", text)));
  names.hidden = !texts.length;
}

function showGate(n, at) {
  const gate = gates[n], view = gateViews[n], { slate } = shots[gate.s], missing = missingAt(gate, at), due = gate.due.filter((a) => at.open.has(a.key));
  view.row.classList.toggle("stop", missing.length > 0);
  put(view.head, missing.length ? `Stop: ${missing.length} missing before you go on to ${slate}` : due.length ? `To circle before you go on to ${slate}: ${due.length}` : `Go on: every addition before ${slate} is circled`);
  fill(view.names, missing, MOST_AT_A_GATE);
}

let later = 0;
/** All gates, the next one first; the others in small turns, so that a tap is answered at once on a slow phone. */
function showGates(next, at) {
  clearTimeout(later);
  if (next >= 0) showGate(next, at);
  let n = 0;
  const turn = () => {
    for (const end = n + 8; n < Math.min(end, gates.length); n++) showGate(n, at);
    if (n < gates.length) later = setTimeout(turn, 0);
  };
  later = setTimeout(turn, 0);
}

function showMissing() {
  const at = standing(), { open } = at, over = at.next < 0;
  const due = new Set(over ? open : gates.flatMap((g) => missingAt(g, at).map((a) => a.key)));
  const missing = additions.filter((a) => due.has(a.key));
  const gate = over ? undefined : gates.find((g) => placeInDay.get(g.s) >= placeInDay.get(at.next));
  showGates(gates.indexOf(gate), at);
  const where = gate ? `you go on to ${shots[gate.s].slate}` : "the pans are washed";
  const sign = missing.length ? `${missing.length} missing before ${where}` : `Nothing missing before ${where}`;
  put(byId("missing-head"), sign);
  put(byId("sign"), sign);
  byId("sign").classList.toggle("stop", missing.length > 0);
  byId("missing").classList.toggle("stop", missing.length > 0);
  byId("sign").dataset.s = missing.length ? missing[0].s : over ? dayOrder.at(-1) : at.next;
  fill(byId("missing-names"), missing, 40);
  put(byId("wrap"), `${additions.length - open.size} of ${additions.length} additions circled, ${many(state.takes.length, "take")}`);
}

function showAll() {
  shots.forEach((_, s) => showShot(s));
  for (const name of ["card", "clip"]) if (document.activeElement !== byId(name)) byId(name).value = state[name];
  showMissing();
  showUndo();
}

function showUndo() {
  byId("undo").setAttribute("aria-disabled", String(!past.length && !state.takes.length));
}

function say(text, unseen = false) {
  byId("said").className = unseen ? "unseen" : "";
  byId("said").textContent = text;
}

function tick() {
  if (document.hidden) return;
  const now = new Date();
  put(byId("clock"), wall(now).slice(11));
  put(byId("code"), label(frameAt(now)));
  const roll = state.roll;
  put(byId("rolling"), roll ? `Rolling ${shots[roll.s].slate} take ${nextTake(roll.s)}, ${Math.floor(((frameAt(now) - roll.i + day) % day) / nominal)} s` : "");
}

// --- what a tap does -----------------------------------------------------------------------------------------------
function roll(s) {
  const was = state.roll, now = new Date();
  change({ roll: was?.s === s ? null : { s, i: frameAt(now) } });
  if (was && was.s !== s) showShot(was.s);
  showShot(s);
  say(was?.s === s ? `${shots[s].slate}: take discarded` : was ? `The roll is now ${shots[s].slate}, no longer ${shots[was.s].slate}` : `Rolling ${shots[s].slate} take ${nextTake(s)}`, !was);
}

function judge(s, verdict) {
  const now = new Date(), o = frameAt(now), shot = shots[s], was = state.roll;
  const rolled = was?.s === s;
  const take = { s, n: nextTake(s), v: verdict, i: rolled ? was.i : null, o, at: wall(now), card: state.card, clip: state.clip, a: shot.names, r: "" };
  const done = verdict === "circled" ? { ...state.done, [shot.slate]: 1 } : state.done;
  change({ takes: [...state.takes, take], done, roll: rolled ? null : was, clip: nextClip(state.clip) });
  showShot(s);
  byId("clip").value = state.clip;
  say(`${shot.slate} take ${take.n} ${verdict}`);
}

function remark(s, text) {
  const at = state.takes.findLastIndex((t) => t.s === s);
  if (at < 0 || state.takes[at].r === text) return;
  change({ takes: state.takes.map((t, n) => (n === at ? { ...t, r: text } : t)) });
  showShot(s);
  showUndo();
}

function undo() {
  const gone = state.takes.at(-1);
  if (!past.length && !gone) return say("There is nothing to undo");
  const before = state.takes.length, seq = state.seq + 1;  // the copy on the disk must be older than what comes back
  if (past.length) {
    state = { ...past.pop(), seq };
  } else {
    state = { ...state, takes: state.takes.slice(0, -1), clip: gone.clip, seq };
  }
  save();
  showAll();
  return say(state.takes.length < before ? `Undone: ${shots[gone.s].slate} take ${gone.n} ${gone.v}` : "Undone");
}

let sure = 0;
function clear(at) {
  if (Date.now() - sure > 5000) {
    sure = Date.now();
    put(at, `Tap again: clears ${many(state.takes.length, "take")}`);
    setTimeout(() => put(at, "Clear"), 5000);
    return;
  }
  sure = 0;
  put(at, "Clear");
  change({ ...fresh(), card: state.card, clip: state.clip, seq: state.seq });
  showAll();
  say("Cleared. Undo brings the log back");
}

// --- wiring --------------------------------------------------------------------------------------------------------
build();
open();
showAll();
tick();
setInterval(tick, 250);
window.addEventListener("beforeprint", () => arrange(false));
window.addEventListener("afterprint", () => arrange(true));

document.addEventListener("click", (event) => {
  const at = event.target.closest("button");
  if (!at) return;
  const act = at.dataset.act, s = Number(at.closest("[data-s]")?.dataset.s);
  if (act === "r") roll(s);
  else if (VERDICTS[act]) judge(s, VERDICTS[act]);
  else if (act === "undo") undo();
  else if (act === "save") saveLog();
  else if (act === "clear") clear(at);
  else if (act === "go") { const row = views[s].row.nextElementSibling; row.scrollIntoView({ block: "center" }); views[s].roll.focus({ preventScroll: true }); return; }
  else return;
  showMissing();
  showUndo();
  tick();
});

document.addEventListener("change", (event) => {
  const at = event.target;
  if (at.type === "checkbox") {
    const slate = shots[Number(at.closest("tr").dataset.s)].slate, { [slate]: _, ...others } = state.done;
    change({ done: at.checked ? { ...others, [slate]: 1 } : others });
    showUndo();
  } else if (at.dataset.act === "remark") remark(Number(at.closest("tr").dataset.s), at.value);
  else if (at.id === "card" || at.id === "clip") { change({ [at.id]: at.value.trim() || state[at.id] }); at.value = state[at.id]; showUndo(); }
  else if (at.id === "log" && at.files[0]) openLog(at.files[0]);
});

window.addEventListener("storage", (event) => event.key === key && event.newValue && adopt(event.newValue));
