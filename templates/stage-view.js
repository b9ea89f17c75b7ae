// What the stage page shows: one shot, what stands around it, and what is missing. Nothing here is kept.
const element = (name, text, kind) => {
  const made = document.createElement(name);
  if (text) made.textContent = text;
  if (kind) made.className = kind;
  return made;
};
const many = (n, word) => `${n} ${word}${n === 1 ? "" : "s"}`;
const put = (at, text) => at.textContent !== text && (at.textContent = text);
const hide = (at, hidden) => at.hidden !== hidden && (at.hidden = hidden);
const button = (text, act, more = {}) => {
  const made = element("button", text);
  made.type = "button";
  Object.assign(made.dataset, { act, ...more });
  return made;
};
const SHAPES = "●■▲◆";
let at = 0;  // the place in the day of the shot that is shown

const current = () => shots[dayOrder[at]];
const takesOf = (shot) => state.byShot.get(shot.key) ?? [];
const lastTake = (shot) => takesOf(shot).at(-1) ?? null;

let counted = {};

/** The additions that have a circled take, by key; counted once after each event. */
function circled() {
  if (counted.state === state && counted.events === events.length) return counted.found;
  const found = new Set();
  for (const t of state.takes) if (t.v === "circled") for (const name of t.a) found.add(t.s.slice(0, t.s.lastIndexOf("\t") + 1) + name);
  counted = { state, events: events.length, found };
  return found;
}

/** The one state of a shot: rolling; circled where any take of it is, or where its additions are in circled takes of other shots; else its last verdict. */
function stateOf(shot, covered = circled()) {
  if (state.roll?.s === shot.key) return "rolling";
  const takes = takesOf(shot);
  if (takes.some((t) => t.v === "circled")) return "circled";
  if (shot.names.length && shot.names.every((name) => covered.has(`${shot.stepKey}\t${name}`))) return "covered";
  return takes.at(-1)?.v ?? "";
}

/** Where the day stands: which steps have begun, what is not circled, and which shot comes next; -1 when the day is over. */
function standing() {
  const covered = circled();
  const touched = new Set(state.takes.map((t) => byKey.get(t.s)?.s));
  if (state.roll) touched.add(byKey.get(state.roll.s)?.s);
  for (const shot of shots) if (!touched.has(shot.s) && shot.names.length && shot.names.every((name) => covered.has(`${shot.stepKey}\t${name}`))) touched.add(shot.s);
  const begun = new Set([...touched].map((s) => shots[s]?.stepNumber));
  const late = new Set(gates.filter((g) => begun.has(g.step)).flatMap((g) => [...g.steps]));
  const next = dayOrder.find((s) => !touched.has(s) && !late.has(shots[s].stepNumber));
  const over = next === undefined || (ends.size > 0 && list.ends.every((s) => touched.has(s)));
  const open = new Set(additions.map((a) => a.key).filter((key) => !covered.has(key)));
  const spoilt = new Set(additions.filter((a) => open.has(a.key) && takesOf(a.shot).length).map((a) => a.key));
  return { begun, open, covered, touched, next: over ? -1 : next, spoilt, first: gates.find((g) => g.due.some((a) => spoilt.has(a.key))) };
}

/** What is missing at a gate: all that is due where its step has begun or comes next, else what was filmed and not circled. */
function missingAt(gate, day) {
  const due = gate.due.filter((a) => day.open.has(a.key));
  if (day.begun.has(gate.step) || (day.next >= 0 && shots[day.next].stepNumber === gate.step)) return due;
  return gate === day.first ? due.filter((a) => day.spoilt.has(a.key)) : [];
}

/** What must be filmed before the cook goes on, and before which shot. */
function missing(day = standing()) {
  const over = day.next < 0;
  const due = new Set(over ? day.open : gates.flatMap((g) => missingAt(g, day).map((a) => a.key)));
  const gate = over ? undefined : gates.find((g) => placeInDay.get(g.s) >= placeInDay.get(day.next));
  return { list: additions.filter((a) => due.has(a.key)), before: gate ? shots[gate.s].slate : "you wash up" };
}

function showGate() {
  const found = missing(), sign = byId("gate"), names = found.list.slice(0, 3).map((a) => `${a.name} (${a.shot.slate})`);
  hide(sign, !found.list.length);
  if (!found.list.length) return put(sign, "");
  sign.dataset.s = found.list[0].shot.s;
  return put(sign, `Film before ${found.before}: ${names.join(", ")}${found.list.length > 3 ? ` and ${found.list.length - 3} more` : ""}`);
}

// --- the shot --------------------------------------------------------------------------------------------------------

const scrolled = new Set();
document.addEventListener("scroll", (event) => scrolled.add(event.target.id), { capture: true, passive: true });

/** Scrolled back, where it was scrolled: to ask it of the browser would make it lay out the page in the middle of a tap. */
function toTop(name) {
  if (scrolled.delete(name)) byId(name).scrollTop = 0;
}

/** `120 ml` as a large figure with its unit small beside it; words as they are. */
function figure(text) {
  const made = element("b"), cut = /^(under )?[\d≥~]/.test(text) ? text.lastIndexOf(" ") : -1;
  made.append(cut < 0 ? text : text.slice(0, cut), cut < 0 ? "" : element("small", "\u00a0" + text.slice(cut + 1)));
  return made;
}

function showFigures(shot) {
  const what = byId("what");
  what.replaceChildren();
  what.className = shot.added.length ? `added ${shot.added.length > 1 ? "several" : ""}` : "action";
  if (!shot.added.length) return what.append(shot.picture);
  for (const one of shot.added) {
    const row = element("span", "", "row"), weight = state.weights.get(`${shot.stepKey}\t${one.name}`);
    row.append(figure(one.amount), " ", element("span", one.name, "name"));
    if (one.household) row.append(" ", element("span", one.household, "household"));
    if (weight) row.append(" ", element("span", `weighed ${weight.g} g`, "household"));
    what.append(row);
  }
  return what;
}

const title = (shot) => (shot.added.length ? shot.added.map((one) => `${one.name} ${one.amount}`).join(", ") : shot.picture);

function showShot() {
  const shot = current(), step = shot.step, next = following(1);
  put(byId("place"), `${at + 1} of ${shots.length}`);
  byId("shape").textContent = shot.dishNumber < 0 ? "" : SHAPES[shot.dishNumber % 4];
  byId("shape").className = `hue${shot.dishNumber % 4}`;
  put(byId("slate"), shot.slate);
  put(byId("dish"), list.dishes.length > 1 ? shot.short : "");
  hide(byId("once"), !shot.once);
  showFigures(shot);
  const where = [step?.vessel, step?.heat, shot.begins ? `then ${step.waits}` : ""].filter(Boolean).join(" · ");
  put(byId("where"), where);
  hide(byId("where"), !where);
  put(byId("framing"), shot.framing);
  const care = step && shots[dayOrder[at - 1]]?.step !== step ? step.care : [];
  fill(byId("care"), care, 3);
  put(byId("sound"), shot.sound);
  put(byId("line"), shot.line || (shot.runsOn ? "… the line of the shot before runs on" : ""));
  byId("line").className = shot.line ? "" : "soft";
  toTop("say");
  byId("next").dataset.s = next ? next.s : "";
  put(byId("next-slate"), next ? `Next ${next.slate}` : "Last shot");
  put(byId("next-what"), next ? title(next) : "Save the log when the day is over");
  showState();
}

function verdictWords(shot) {
  const take = lastTake(shot), now = stateOf(shot);
  if (now === "rolling") return `Take ${1 + (take?.n ?? 0)} rolls`;
  if (now === "covered") return "In a take of another shot";
  if (!take) return "Not filmed";
  return `Take ${take.n} ${take.v}${now === "circled" && take.v !== "circled" ? ", an earlier one circled" : ""}`;
}

/** What a tap may change of the shot that is shown: its state, its buttons, what else the clip covers, its wait. */
function showState() {
  const shot = current(), rolls = state.roll?.s === shot.key, take = lastTake(shot), now = stateOf(shot);
  put(byId("state"), verdictWords(shot));
  byId("state").className = `is-${now.replace(" ", "-")}`;
  const offered = rolls ? [["NG", "n"], ["Hold", "h"], ["Circle", "c"]] : [["Circle", "c"], [take ? "Roll again" : "Roll", "r"], ["Next", "next"]];
  const main = rolls ? 2 : now === "circled" || now === "covered" ? 2 : 1;
  offered.forEach(([text, act], n) => {
    const tap = byId("hands").children[n];
    put(tap, text);
    tap.dataset.act = act;
    tap.classList.toggle("main", n === main);
    tap.setAttribute("aria-label", act === "next" ? "Next shot" : `${text} ${shot.slate}`);
  });
  showAlso(shot, rolls ? state.roll : take);
  showWait(shot);
  hide(byId("change"), rolls);
  put(byId("change"), take ? "Change" : "Log");
  hide(byId("weigh"), !shot.dish);
  showTop();
  showGate();
}

/** The other additions of the step: may this clip cover them as well? */
function showAlso(shot, clip) {
  const also = byId("also"), others = clip && shot.names.length ? ofStep.get(shot.stepNumber).flatMap((one) => (one === shot ? [] : one.names)) : [];
  const shown = others.map((name) => `${name}${clip.a.includes(name) ? "+" : ""}`).join("\n") + (clip ? clip.id : "");
  hide(also, !others.length);
  if (also.dataset.shown === shown) return;
  also.dataset.shown = shown;
  also.replaceChildren(element("span", "Clip also covers", "soft"), ...others.map((name) => {
    const made = button(name, "also", { name });
    made.setAttribute("aria-pressed", String(clip.a.includes(name)));
    return made;
  }));
}

function showTop() {
  const roll = state.roll;
  hide(byId("rolling"), !roll);
  hide(byId("clock"), Boolean(roll));
  if (roll) {
    const slate = byKey.get(roll.s)?.slate ?? roll.l;
    put(byId("rolling"), `● ${slate} ${clock(clockNow() - roll.t0)}`);
    byId("rolling").setAttribute("aria-label", `${slate} is rolling`);
    byId("rolling").dataset.s = byKey.get(roll.s)?.s ?? "";
  }
  byId("undo").setAttribute("aria-disabled", String(!lastTap()));
}

/** The next shot of the day, or the one before, that is still to be filmed or was: those that another clip covers whole are passed over. */
function following(by) {
  const covered = circled();
  for (let n = at + by; n >= 0 && n < dayOrder.length; n += by) {
    const shot = shots[dayOrder[n]];
    if (by < 0 || stateOf(shot, covered) !== "covered") return shot;
  }
  return null;
}

function go(shot) {
  if (!shot) return;
  at = placeInDay.get(shot.s);
  setting("at", String(at));
  showShot();
  toTop("shot");
}

function fill(place, texts, most) {
  const shown = texts.slice(0, most);
  if (texts.length > most) shown.push(`and ${texts.length - most} more`);
  hide(place, !texts.length);
  if (place.dataset.shown === shown.join("\n")) return;
  place.dataset.shown = shown.join("\n");
  place.replaceChildren(...shown.map((text) => element("li", text)));
}

function say(text) {
  put(byId("said"), text);
  clearTimeout(say.over);
  byId("said").className = "shown";
  say.over = setTimeout(() => (byId("said").className = ""), 4000);
}

function showAll() {
  showShot();
  showTimers();
  if (byId("list-sheet").open) showList();
  if (byId("desk-sheet").open) showDesk();
}
