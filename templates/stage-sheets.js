// The sheets over the stage page: the list, the log and the settings, a take to change, weights, a timer, and a question.
const SIGNS = { rolling: "●", circled: "✓", covered: "✓", hold: "~", NG: "✗", [FALSE_START]: "✗", "": "" };
const SIGN_WORDS = { "": "not filmed", covered: "in a take of another shot" };
const sheet = (name) => byId(name + "-sheet");

function openSheet(name) {
  for (const other of document.querySelectorAll("dialog[open]")) other.close();
  sheet(name).showModal();
}

// --- the list, search and jump -------------------------------------------------------------------------------------------
const rows = [];
const PART = 24, ROW_PX = 56;  // rows are laid out by the part, where they are seen: hundreds of them would make each sheet wait
const parts = [];
let building = 0;

function makeRow(s) {
  const shot = shots[s], row = element("li"), jump = button("", "jump", { s });
  const sign = element("span", "", "sign"), what = element("span", title(shot), "row-what"), dish = element("span", shot.dishNumber < 0 ? "" : SHAPES[shot.dishNumber % 4], `hue${shot.dishNumber % 4}`);
  dish.setAttribute("aria-hidden", "true");
  sign.setAttribute("role", "img");
  jump.append(sign, element("b", shot.slate), dish, what);
  row.append(jump);
  if (rows.length % PART === 0) parts.push(byId("rows").appendChild(element("ul")));
  parts.at(-1).append(row);
  rows.push({ shot, row, jump, sign, now: null, here: false, text: `${shot.slate} ${title(shot)} ${shot.dish} ${shot.step?.name ?? ""} ${shot.step?.vessel ?? ""}`.toLowerCase() });
}

function showRow(one, covered) {
  const now = stateOf(one.shot, covered), here = one.shot === current();
  if (now !== one.now) {
    one.sign.textContent = SIGNS[now];
    one.sign.setAttribute("aria-label", SIGN_WORDS[now] ?? now);
  }
  if (here !== one.here) one.jump.toggleAttribute("aria-current", here);
  Object.assign(one, { now, here });
}

/** Rows that are not made yet, a few at a time while nobody waits: the list is whole before it is asked for. */
function makeRows(most = 12) {
  const until = Math.min(rows.length + most, dayOrder.length);
  while (rows.length < until) makeRow(dayOrder[rows.length]);
  clearTimeout(building);
  if (rows.length < dayOrder.length) building = setTimeout(() => (byId("list-sheet").open ? showList(24) : makeRows()), byId("list-sheet").open ? 0 : 30);
}

/** The sheet at once, its rows in the frame after it. */
function openList() {
  byId("search").value = "";
  byId("rows").hidden = true;
  openSheet("list");
  sayFound();
  requestAnimationFrame(() => setTimeout(() => {
    byId("rows").hidden = false;
    showList();
    byId("rows").querySelector("[aria-current]")?.scrollIntoView({ block: "center" });
  }));
}

function sayFound() {
  const covered = circled();
  put(byId("found"), `${additions.filter((a) => covered.has(a.key)).length} of ${additions.length} additions circled, ${many(state.takes.length, "take")}`);
}

function showList(most = 24) {
  if (rows.length < dayOrder.length) makeRows(most);
  const asked = byId("search").value.trim().toLowerCase(), covered = circled();
  for (const one of rows) {
    showRow(one, covered);
    hide(one.row, asked !== "" && !one.text.includes(asked));
  }
  parts.forEach((part, n) => {
    const shown = rows.slice(n * PART, (n + 1) * PART).filter((one) => !one.row.hidden).length;
    hide(part, !shown);
    part.style.containIntrinsicHeight = `auto ${shown * ROW_PX}px`;
  });
  sayFound();
}

// --- the log and the settings --------------------------------------------------------------------------------------------
function showDesk() {
  for (const name of ["card", "clip"]) if (document.activeElement !== byId(name)) byId(name).value = state[name];
  put(byId("wrap"), `${additions.filter((a) => circled().has(a.key)).length} of ${additions.length} additions circled, ${many(state.takes.length, "take")}`);
  const strange = state.takes.filter((t) => !byKey.has(t.s));
  fill(byId("strange"), strange.length ? [`${many(strange.length, "take")} of shots that are not in this list. They stay in the log`, ...strange.map((t) => `${t.l} take ${t.n} ${t.v}: ${t.s.split("\t").slice(0, 2).filter(Boolean).join(", ")} ${t.a.join(", ")}`)] : [], 12);
  byId("archives").replaceChildren(...state.archived.map((one, n) => {
    const row = element("li", `${one.at.slice(0, 16)}: ${many(one.takes.length, "take")} `);
    row.append(button("Save", "save-archive", { n }));
    return row;
  }));
  for (const choice of document.querySelectorAll("#settings input")) choice.checked = (setting(choice.name) || choice.closest("fieldset").dataset.usual) === choice.value;
}

function applySettings() {
  document.documentElement.dataset.hand = setting("hand") || "right";
  document.documentElement.dataset.light = setting("light") || "auto";
}

// --- a take to change ----------------------------------------------------------------------------------------------------
function showChange() {
  const shot = current(), take = lastTake(shot);
  put(byId("change-head"), take ? `${shot.slate} take ${take.n}` : `Log a take of ${shot.slate}`);
  for (const choice of byId("verdicts").children) choice.setAttribute("aria-pressed", String(take?.v === VERDICTS[choice.dataset.v]));
  hide(byId("remark").parentElement, !take);
  if (document.activeElement !== byId("remark")) byId("remark").value = take?.r ?? "";
  fill(byId("history"), takesOf(shot).map((t) => `Take ${t.n} ${t.v}${t.was.length ? ` (was ${t.was.join(", ")})` : ""}${t.i === null || t.o === null ? "" : ` ${label(t.i)} to ${label(t.o)}`}${t.r ? `: ${t.r}` : ""}`), 40);
}

// --- weights -------------------------------------------------------------------------------------------------------------
/** Grams of what a cook types: `29`, `29.5 g`, `1,92 kg`; null where it is no weight. */
function gramsIn(text) {
  const found = /^\s*(\d{1,6}(?:[.,]\d{1,3})?)\s*(g|kg)?\s*$/i.exec(text);
  if (!found) return null;
  const g = Math.round(Number(found[1].replace(",", ".")) * (found[2]?.toLowerCase() === "kg" ? 10000 : 10)) / 10;
  return g > 0 && g <= 100000 ? g : null;
}

function weighField(of, name, planned) {
  const field = element("label"), input = element("input"), weight = state.weights.get(of);
  input.inputMode = "decimal";
  input.autocomplete = "off";
  input.maxLength = 12;
  input.dataset.of = of;
  input.value = weight ? `${weight.g} g` : "";
  field.append(element("span", name), input, element("small", planned));
  return field;
}

function showWeigh() {
  const shot = current();
  const fields = shot.added.map((one) => weighField(`${shot.stepKey}\t${one.name}`, one.name, `planned: ${[one.amount, one.household].filter(Boolean).join(", ")}`));
  const on = list.dishes.find(([name]) => name === shot.dish)[2];
  fields.push(weighField(shot.dish, `Cooked weight: ${shot.short}`, `the whole pot${on ? ` with its ${on}` : ""}, less the empty pot`));
  byId("weights").replaceChildren(...fields);
  hide(byId("weigh-told"), true);
}

function weigh(input) {
  const text = input.value.trim(), g = text ? gramsIn(text) : null, told = byId("weigh-told");
  const wrong = text !== "" && g === null;
  input.setAttribute("aria-invalid", String(wrong));
  hide(told, !wrong);
  put(told, wrong ? `“${text}” is not a weight. Write grams or kilograms, such as 28 g or 1.9 kg` : "");
  if (wrong || g === (state.weights.get(input.dataset.of)?.g ?? null)) return;
  log("weigh", { of: input.dataset.of, g });
  input.value = g === null ? "" : `${g} g`;
  showShot();
}

// --- a timer, and a question ----------------------------------------------------------------------------------------------
function showTimer() {
  const one = running().find((timer) => timer.of === byId("timer-sheet").dataset.of);
  if (!one) return byId("timer-sheet").close();
  put(byId("timer-name"), one.shot.step.timer);
  put(byId("timer-left"), leftWords(one));
  return put(byId("timer-ends"), `${one.left > 0 ? "Ends" : "Ended"} at ${wallNow(one.left)}, ${one.shot.short}`);
}

let answer = null;
/** One question with its answers and *Cancel*; each does what it says. */
function ask(text, ...answers) {
  put(byId("question"), text);
  answer = answers.map(([, act]) => act);
  byId("answers").replaceChildren(...answers.map(([words], n) => button(words, "answer", { n })), button("Cancel", "close"));
  openSheet("ask");
}
