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
const rollOf = (shot) => state.rolls.get(shot.key) ?? null;
const otherRolls = (shot) => [...state.rolls.values()].filter((roll) => roll.s !== shot.key);
const slateOf = (roll) => byKey.get(roll.s)?.slate ?? roll.l;
const listed = (names) => (names.length > 1 ? `${names.slice(0, -1).join(", ")} and ${names.at(-1)}` : names[0]);
const rollsWords = (rolls = [...state.rolls.values()]) => `${listed(rolls.map(slateOf))} roll${rolls.length > 1 ? "" : "s"}`;

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
  if (state.rolls.has(shot.key)) return "rolling";
  const takes = takesOf(shot);
  if (takes.some((t) => t.v === "circled")) return "circled";
  if (shot.names.length && shot.names.every((name) => covered.has(`${shot.stepKey}\t${name}`))) return "covered";
  return takes.at(-1)?.v ?? "";
}

/** Whether anything was done in the take: not in a false start, nor in one that was stopped at once and is no good. */
const films = (t) => t.v !== FALSE_START && !(t.v === "NG" && t.i !== null && t.o !== null && t.o - t.i < STOPPED_S * nominal);

let stood = {};

/** Where the day stands: which steps have begun, what is not circled, and which shot comes next; -1 when the day is over. Made once after each event. */
function standing() {
  if (stood.state !== state || stood.events !== events.length) stood = { state, events: events.length, day: dayNow() };
  return stood.day;
}

function dayNow() {
  const covered = circled();
  const touched = new Set(state.takes.map((t) => byKey.get(t.s)?.s));
  for (const roll of state.rolls.keys()) touched.add(byKey.get(roll)?.s);
  for (const shot of shots) if (!touched.has(shot.s) && shot.names.length && shot.names.every((name) => covered.has(`${shot.stepKey}\t${name}`))) touched.add(shot.s);
  const begun = new Set([...touched].map((s) => shots[s]?.stepNumber));
  // What a step works on that is filmed cannot be filmed as it goes in any more; nor can anything when the day is over.
  const filmed = new Set(state.takes.filter(films).map((t) => byKey.get(t.s)?.stepNumber));
  const late = new Set(gates.filter((g) => filmed.has(g.step)).flatMap((g) => [...g.steps]));
  const next = dayOrder.find((s) => !touched.has(s) && !late.has(shots[s].stepNumber));
  const over = next === undefined || (ends.size > 0 && list.ends.every((s) => touched.has(s)));
  const open = new Set(additions.map((a) => a.key).filter((key) => !covered.has(key)));
  const spoilt = new Set(additions.filter((a) => open.has(a.key) && takesOf(a.shot).length).map((a) => a.key));
  const gone = over ? new Set(additions.map((a) => a.step)) : late;
  return { begun, open, covered, touched, gone, next: over ? -1 : next, spoilt, first: gates.find((g) => g.due.some((a) => spoilt.has(a.key))) };
}

/** What is missing at a gate: all that is due where its step has begun, is shown or comes next, else what was filmed and not circled. */
function missingAt(gate, day) {
  const due = gate.due.filter((a) => day.open.has(a.key)), here = [current(), shots[day.next]];
  if (day.begun.has(gate.step) || here.some((shot) => shot?.stepNumber === gate.step)) return due;
  return gate === day.first ? due.filter((a) => day.spoilt.has(a.key)) : [];
}

/** What must be filmed before the cook goes on, and before which shot; `gone`: of which steps that is too late. */
function missing(day = standing()) {
  const over = day.next < 0;
  const due = new Set(over ? day.open : gates.flatMap((g) => missingAt(g, day).map((a) => a.key)));
  const gate = over ? undefined : gates.find((g) => missingAt(g, day).some((a) => !day.gone.has(a.step))) ?? gates.find((g) => placeInDay.get(g.s) >= placeInDay.get(day.next));
  return { list: additions.filter((a) => due.has(a.key)), gone: day.gone, before: gate ? shots[gate.s].slate : "you wash up" };
}

function showGate() {
  const found = missing(), sign = byId("gate"), late = found.list.filter((a) => found.gone.has(a.step)), due = found.list.filter((a) => !late.includes(a));
  const most = due.length && late.length ? 2 : 3;
  const named = (some) => some.slice(0, most).map((a) => `${a.name} (${a.shot.slate})`).join(", ") + (some.length > most ? ` and ${some.length - most} more` : "");
  hide(sign, !found.list.length);
  sign.dataset.s = [...due, ...late][0]?.shot.s ?? "";
  return put(sign, [due.length ? `Film before ${found.before}: ${named(due)}` : "", late.length ? `Film in its bowl, too late going in: ${named(late)}` : ""].filter(Boolean).join(". "));
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
  what.className = shot.added.length ? `added ${shot.added.length > 1 ? "several" : shot.added[0].name.length > 36 ? "wordy" : ""}` : `action ${shot.picture.length > 220 ? "long longer" : shot.picture.length > 100 ? "long" : ""}`;
  if (!shot.added.length) return what.append(shot.picture);
  for (const one of shot.added) {
    const row = element("span", "", "row"), weight = state.weights.get(`${shot.stepKey}\t${one.name}`);
    row.append(...(/\d/.test(one.amount) ? [figure(one.amount), " ", element("span", one.name, "name")] : [element("b", one.name), " ", element("span", one.amount, "name")]));
    if (one.prep) row.append(" ", element("span", one.prep, "prep"));
    if (one.household) row.append(" ", element("span", one.household, "household"));
    if (weight) row.append(" ", element("span", `weighed ${weight.g} g`, "household"));
    what.append(row);
  }
  return what;
}

const spelt = ({ name, amount, prep }) => `${/\d/.test(amount) ? `${amount} ${name}` : `${name} ${amount}`}${prep ? ` (${prep})` : ""}`;
const title = (shot) => (shot.added.length ? `${shot.poured ? "Pour" : "Add"} ${shot.added.map(spelt).join(", ")}` : shot.picture);

/** The sentences that are said over the shot, whole: what is said before and after it, and its own part of them. */
function sentencesOf(shot) {
  const of = ofStep.get(shot.stepNumber).filter((one) => one.scene === shot.scene && one.line), here = of.indexOf(shot);
  const ends = (n) => /[.!?…]["”’)]*$/.test(of[n].line);
  if (here < 0) return ["", "", ""];
  let from = here, to = here;
  while (from > 0 && !ends(from - 1)) from -= 1;
  while (to < of.length - 1 && !ends(to)) to += 1;
  const said = (some) => some.map((one) => one.line).join(" ");
  return [said(of.slice(from, here)), shot.line, said(of.slice(here + 1, to + 1))];
}

function showLine(shot) {
  const [before, own, after] = sentencesOf(shot), line = byId("line");
  line.replaceChildren(...[[before, "soft"], [own || (shot.runsOn ? "… the line of the shot before runs on" : ""), ""], [after, "soft"]]
    .filter(([text]) => text).flatMap(([text, kind]) => [element("span", text, kind), " "]));
  line.className = own ? "" : "soft";
}

function showShot() {
  const shot = current(), step = shot.step;
  put(byId("place"), `${at + 1} of ${shots.length}`);
  byId("shape").textContent = shot.dishNumber < 0 ? "" : SHAPES[shot.dishNumber % 4];
  byId("shape").className = `hue${shot.dishNumber % 4}`;
  put(byId("slate"), shot.slate);
  put(byId("dish"), list.dishes.length > 1 ? shot.short : "");
  hide(byId("once"), !shot.once);
  showFigures(shot);
  const [verb, to] = shot.poured ? ["Pour", "into"] : ["Add", "to"], pot = step?.vessel;
  const vessel = !shot.added.length ? pot : shot.onto ? `Put on ${shot.onto}` : pot ? `${verb} ${to} the ${pot}` : verb;
  const where = [vessel, step?.heat, shot.begins ? `then ${step.waits}` : ""].filter(Boolean).join(" · ");
  put(byId("where"), where);
  hide(byId("where"), !where);
  put(byId("framing"), shot.framing);
  const care = step && dayOrder.find((s) => shots[s].step === step) === shot.s ? step.care : [];
  const ovens = list.ovens.filter(([from, to]) => from <= at && at <= to).map(([, , words]) => words);
  fill(byId("care"), [...ovens, ...care], 3 + ovens.length);
  put(byId("sound"), shot.sound);
  showLine(shot);
  toTop("say");
  showState();
}

const WORDS = { n: "NG", h: "Hold", c: "Circle", r: "Roll" };

/** Why a button of a take has nothing to do at this shot, in words; empty where it has. Each stays in its place all the same. */
function idle(act, shot) {
  const rolls = rollOf(shot), take = lastTake(shot), others = state.rolls.size > 0;
  if (act === "r") return rolls ? `${shot.slate} is rolling` : "";
  if (rolls || (act === "c" && (others || take?.v !== "circled"))) return "";
  if (act === "c") return `${shot.slate} take ${take.n} is circled already`;
  return others || cutShort(take) ? "" : take ? `Nothing is rolling. Change amends take ${take.n}` : "Nothing is rolling";
}

/** Whether the take was ended by the roll of another shot, as a false start, and nobody has judged it since. */
const cutShort = (take) => take?.v === FALSE_START && take.unjudged;

function verdictWords(shot) {
  const take = lastTake(shot), now = stateOf(shot);
  if (now === "rolling") return `Take ${1 + (take?.n ?? 0)} rolls`;
  if (now === "covered") return "In a take of another shot";
  if (!take) return "Not filmed";
  return `Take ${take.n} ${take.v}${now === "circled" && take.v !== "circled" ? ", an earlier one circled" : ""}`;
}

/** What a tap may change of the shot that is shown: its state, its buttons, what else the clip covers, its wait. */
function showState() {
  const shot = current(), rolls = rollOf(shot), take = lastTake(shot), now = stateOf(shot);
  put(byId("state"), verdictWords(shot));
  byId("state").className = `is-${now.replace(" ", "-")}`;
  const done = now === "circled" || now === "covered", main = rolls ? "c" : done ? "" : "r";
  for (const tap of byId("hands").children) {
    const { act } = tap.dataset, text = act === "r" && take ? "Roll again" : WORDS[act];
    put(tap, text);
    tap.classList.toggle("main", act === main);
    tap.setAttribute("aria-label", `${text} ${shot.slate}`);
    tap.setAttribute("aria-disabled", String(Boolean(idle(act, shot))));
  }
  const next = following(1);
  byId("next").dataset.s = next ? next.s : "";
  byId("next").classList.toggle("main", done && !rolls);
  put(byId("next-slate"), next ? `Next ${next.slate}` : "Last shot");
  put(byId("next-what"), next ? title(next) : "Save the log when the day is over");
  showAlso(shot, rolls ?? take);
  showWait(shot);
  byId("shot").classList.toggle("rolls", Boolean(rolls));
  byId("change").classList.toggle("away", Boolean(rolls));  // which keeps its place
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
  const rolls = [...state.rolls.values()], here = rollOf(current()), roll = here ?? rolls[0], sign = byId("rolling");
  hide(sign, !roll);
  hide(byId("clock"), Boolean(roll));
  if (roll) {
    const to = byKey.get((rolls.find((one) => one !== here) ?? roll).s);
    put(sign, `● ${[roll, ...rolls.filter((one) => one !== roll)].map(slateOf).join(" ")} ${clock(clockNow() - roll.t0)}`);
    sign.setAttribute("aria-label", `${listed(rolls.map(slateOf))} ${rolls.length > 1 ? "are" : "is"} rolling`);
    sign.dataset.s = to?.s ?? "";
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

/** Where a page opens: at what rolls, at the shot that it showed last, else at the next one of the day. */
function whereTheDayIs() {
  const day = standing(), kept = Number(setting("at") ?? -1), rolls = [...state.rolls.values()].filter((roll) => byKey.has(roll.s));
  const roll = rolls.findLast((one) => ours.has(one.d)) ?? rolls.at(-1);
  if (roll) return placeInDay.get(byKey.get(roll.s).s);
  return kept >= 0 && kept < shots.length ? kept : day.next >= 0 ? placeInDay.get(day.next) : 0;
}

function go(shot) {
  if (!shot) return;
  at = placeInDay.get(shot.s);
  setTimeout(() => setting("at", String(at)));  // written after the shot is shown
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
