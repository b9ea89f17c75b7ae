// The take log of the stage page as a file: written, and read back: the rows that belong to this list, and the rest told.
const COLUMNS = ["title", "dish", "card", "clip", "scene", "setup", "take", "step", "additions", "in", "out", "recorded", "verdict", "remark", "weighed"];
const printable = (text) => text.replace(/\t/g, " ").replace(/(?! )[\p{C}\p{Z}]/gu, "·");
const FORMULA = /^[ ·']*[=+\-@＝＋－＠]/;
const guarded = (text) => (FORMULA.test(printable(text)) ? "'" : "") + printable(text);
const unguarded = (text) => { const cell = printable(text.trim()); return cell[0] === "'" && FORMULA.test(cell.slice(1)) ? cell.slice(1) : cell; };
const quoted = (cell) => (/[",\r\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell);
const WEIGHED = "weighed";

/** The takes, and then what was weighed, as CSV (RFC 4180). */
function csv(takes, weights) {
  const rows = takes.map((t) => {
    const [dish, step] = t.s.split("\t");
    const scene = t.l.replace(/[A-Z]*$/, "");
    return [list.title, dish, t.card, t.clip, scene, t.l.slice(scene.length), String(t.n), step[0] === "~" ? "" : step, t.a.join("; "), t.i === null ? "" : label(t.i), t.o === null ? "" : label(t.o), t.at, t.v, t.r, ""];
  });
  const weighed = [...weights].map(([of, { g, at }]) => {
    const [dish, step = "", name = ""] = of.split("\t");
    return [list.title, dish, "", "", "", "", "", step, name, "", "", at, WEIGHED, "", `${g} g`];
  });
  return "\ufeff" + [COLUMNS, ...rows, ...weighed].map((row) => row.map((cell) => quoted(guarded(cell))).join(",") + "\r\n").join("");
}

function saveLog(takes = state.takes, weights = state.weights, name = "takes") {
  const address = URL.createObjectURL(new Blob([csv(takes, weights)], { type: "text/csv" }));
  const link = element("a");
  link.href = address;
  link.download = `${list.file}-${name}.csv`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 60000);
  const still = takes === state.takes && state.rolls.size ? `. ${rollsWords()} still, and is not in it` : "";
  say(`Saved ${many(takes.length, "take")} as ${link.download}${still}`);
}

/** Rows of cells; the separator is the one that finds most columns in the first line. Throws where a quote stays open. */
function cells(text) {
  text = text.replace(/^\ufeff/, "");
  const parse = (separator) => {
    const rows = [[]];
    let at = 0;
    while (at < text.length) {
      let cell = "";
      if (text[at] === '"') {
        for (at++; ; at++) {
          if (at >= text.length) throw new Error("The file is cut off: a quoted cell is not closed");
          if (text[at] !== '"') cell += text[at];
          else if (text[at + 1] === '"') cell += text[at++];
          else break;
        }
        at++;
      }
      while (at < text.length && text[at] !== separator && text[at] !== "\n" && text[at] !== "\r") cell += text[at++];
      rows.at(-1).push(cell);
      if (text[at] === separator) { at++; continue; }
      if (text[at] === "\r" && text[at + 1] === "\n") at++;
      at++;
      rows.push([]);
    }
    return rows;
  };
  const named = (rows) => rows[0].filter((c) => COLUMNS.includes(c.trim().toLowerCase())).length;
  const tried = [",", ";", "\t"].map(parse);
  return tried.reduce((best, rows) => (named(rows) > named(best) ? rows : best));
}

const same = (a, b) => a.trim().toLowerCase() === b.trim().toLowerCase();

/** The shot that a row means: by dish, step and additions; the slate chooses among the shots of a step, and where no step is written. */
function shotOf(get, wrong) {
  const [step, dish, title] = [get("step"), get("dish"), get("title")];
  const slate = Number(get("scene")) + get("setup").toUpperCase();
  const bySlate = shots.find((shot) => shot.slate === slate);
  if (title && !same(title, list.title) && !list.dishes.some(([name]) => same(name, title))) throw wrong(`it is of “${title}”`);
  if (!step) {
    if (!bySlate) throw wrong(`there is no shot ${slate}`);
    if (dish && !same(dish, bySlate.dish)) throw wrong(`${slate} is not of “${dish}”`);
    return bySlate;
  }
  const ofThatStep = shots.filter((shot) => shot.step && same(shot.step.id, step) && (!dish || same(shot.dish, dish)));
  if (!ofThatStep.length) throw wrong(`there is no step “${step}”${dish ? ` of “${dish}”` : ""}`);
  const first = get("additions").split(";")[0];
  return ofThatStep.find((shot) => shot.slate === slate && (!first.trim() || shot.names.some((name) => same(name, first)))) ?? ofThatStep.find((shot) => shot.names.some((name) => same(name, first)))
    ?? ofThatStep.find((shot) => shot.slate === slate) ?? ofThatStep.find((shot) => !shot.names.length) ?? ofThatStep[0];
}

/** The additions of a row that the step has; the others are told, and a row with no other is not read. */
function namesOf(shot, get, columns, wrong, tell) {
  const listed = columns.includes("additions") ? get("additions") : shot.names.join("; ");
  if (same(listed, shot.names.join("; "))) return shot.names;
  const choice = ofStep.get(shot.stepNumber).flatMap((one) => one.names);
  const wanted = listed.split(";").map((c) => c.trim()).filter(Boolean), found = wanted.map((c) => choice.find((k) => same(k, c)));
  wanted.forEach((c, n) => {
    if (found[n]) return;
    const told = wrong(`“${c}” is not added at “${shot.step?.id ?? shot.slate}”`);
    if (!found.some(Boolean)) throw told;
    tell(told);
  });
  return found.filter(Boolean);
}

function takeIn(get, columns, wrong, tell) {
  const shot = shotOf(get, wrong), names = namesOf(shot, get, columns, wrong, tell);
  const verdict = ["circled", "hold", "NG", FALSE_START].find((v) => same(v, get("verdict")));
  if (!verdict) throw wrong(`“${get("verdict")}” is not a verdict`);
  const [i, o] = ["in", "out"].map((name) => {
    const code = get(name);
    if (code && frameOf(code) === null) throw wrong(`“${code}” is not time code of this camera`);
    return code ? frameOf(code) : null;
  });
  const number = get("take");
  if (number && !/^[1-9]\d{0,5}$/.test(number)) throw wrong(`“${number}” is not a take number`);
  const slate = get("scene") ? get("scene") + get("setup").toUpperCase() : shot.slate;
  return { s: shot.key, l: slate, n: Number(number) || 1, v: verdict, i, o, at: get("recorded"), card: get("card"), clip: get("clip"), a: names, r: get("remark") };
}

function weightIn(get, wrong) {
  const g = gramsIn(get("weighed")), dish = list.dishes.find(([name]) => same(name, get("dish")));
  if (g === null) throw wrong(`“${get("weighed")}” is not a weight`);
  if (!dish) throw wrong(`there is no dish “${get("dish")}”`);
  if (!get("additions")) return [dish[0], g, get("recorded")];
  const found = additions.find((a) => same(a.name, get("additions")) && a.shot.step && same(a.shot.step.id, get("step")) && a.shot.dish === dish[0]);
  if (!found) throw wrong(`“${get("additions")}” is not added at “${get("step")}”`);
  return [found.key, g, get("recorded")];
}

/** The takes and weights of a log's text that belong to this list, and of the other rows what is wrong. Throws where it is no log. */
function rowsIn(text) {
  const [head, ...rows] = cells(text);
  const columns = head.map((c) => c.trim().toLowerCase());
  if (!columns.includes("verdict") || !(columns.includes("step") || columns.includes("scene"))) throw new Error("This is not a take log: it needs a column verdict, and a column step or scene");
  const found = { takes: [], weights: [], rest: [] };
  rows.forEach((row, n) => {
    if (!row.some((c) => c.trim())) return;
    const get = (name) => unguarded(row[columns.indexOf(name)] ?? ""), slate = (get("scene") + get("setup")).toUpperCase();
    const name = slate && !same(get("verdict"), WEIGHED) ? ` (${slate}${get("take") && ` take ${get("take")}`})` : "";
    const wrong = (what) => new Error(`Line ${n + 2}${name}: ${what}`), tell = (told) => found.rest.push(told.message);
    try {
      if (row.length < head.length - 1) throw wrong("the log is cut off");
      if (same(get("verdict"), WEIGHED)) found.weights.push(weightIn(get, wrong));
      else found.takes.push(takeIn(get, columns, wrong, tell));
    } catch (told) {
      tell(told);
    }
  });
  return found;
}

async function openLog(file) {
  const refused = byId("refused");
  try {
    const found = rowsIn(await file.text());
    const before = state.takes.length;
    if (found.takes.length || found.weights.length) log("read", { takes: found.takes, weights: found.weights });
    const told = `Read ${many(found.takes.length, "take")}, ${state.takes.length - before} of them new`;
    fill(refused, found.rest.length ? ["Left out, because it is not in this list or cannot be read:", ...found.rest] : [], 12);
    showAll();
    showDesk();
    say(told);
  } catch (wrong) {
    fill(refused, [`Not read. ${wrong.message}`], 1);
  }
  byId("log").value = "";
}
