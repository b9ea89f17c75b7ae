// The take log of the on-set page as a file: written, and read back or refused whole.
const printable = (text) => text.replace(/\t/g, " ").replace(/(?! )[\p{C}\p{Z}]/gu, "·");
const FORMULA = /^[ ·']*[=+\-@＝＋－＠]/;
const guarded = (text) => (FORMULA.test(printable(text)) ? "'" : "") + printable(text);
const unguarded = (text) => { const cell = printable(text.trim()); return cell[0] === "'" && FORMULA.test(cell.slice(1)) ? cell.slice(1) : cell; };
const quoted = (cell) => (/[",\r\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell);

function csv() {
  const rows = state.takes.map((t) => {
    const shot = shots[t.s];
    return [list.title, shot.dish, t.card, t.clip, shot.scene, shot.setup, String(t.n), shot.step, t.a.join("; "), t.i === null ? "" : label(t.i), t.o === null ? "" : label(t.o), t.at, t.v, t.r];
  });
  return "\ufeff" + [COLUMNS, ...rows].map((row) => row.map((cell) => quoted(guarded(cell))).join(",") + "\r\n").join("");
}

function saveLog() {
  const address = URL.createObjectURL(new Blob([csv()], { type: "text/csv" }));
  const link = element("a");
  link.href = address;
  link.download = list.file + "-takes.csv";
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 60000);
  say(`Saved ${many(state.takes.length, "take")} as ${link.download}`);
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
  const known = (rows) => rows[0].filter((c) => COLUMNS.includes(c.trim().toLowerCase())).length;
  const tried = [",", ";", "\t"].map(parse);
  return tried.reduce((best, rows) => (known(rows) > known(best) ? rows : best));
}

const same = (a, b) => a.trim().toLowerCase() === b.trim().toLowerCase();

/** The takes of a log's text. Throws, with the line, what does not belong to this list. */
function takesIn(text) {
  const [head, ...rows] = cells(text);
  const columns = head.map((c) => c.trim().toLowerCase());
  for (const name of ["scene", "setup", "verdict"]) if (!columns.includes(name)) throw new Error(`This is no take log: it has no column ${name}`);
  return rows.map((row, n) => [row, n + 2]).filter(([row]) => row.some((c) => c.trim())).map(([row, line]) => {
    const wrong = (what) => new Error(`Line ${line}: ${what}`);
    if (row.length < head.length - 1) throw wrong("the log is cut off");
    const get = (name) => unguarded(row[columns.indexOf(name)] ?? "");
    const title = get("title");
    if (title && !same(title, list.title)) throw wrong(`this log is of “${title}”, not of “${list.title}”`);
    const slate = Number(get("scene")) + get("setup").toUpperCase();
    const s = shots.findIndex((shot) => shot.slate === slate);
    if (s < 0) throw wrong(`there is no shot ${slate} in this list`);
    const shot = shots[s], step = get("step"), dish = get("dish");
    if ((step && !same(step, shot.step)) || (dish && !same(dish, shot.dish))) throw wrong(`${slate} is not “${[dish, step].filter(Boolean).join(", ")}” in this list`);
    const known = additions.filter((a) => shots[a.s].stepNumber === shot.stepNumber).map((a) => a.name);
    const listed = columns.includes("additions") ? get("additions") : shot.names.join("; ");
    const names = same(listed, shot.names.join("; ")) ? shot.names : listed.split(";").map((c) => c.trim()).filter(Boolean).map((c) => {
      const name = known.find((k) => same(k, c));
      if (!name) throw wrong(`“${c}” is not added at ${slate}`);
      return name;
    });
    const verdict = ["circled", "hold", "NG", "false start"].find((v) => same(v, get("verdict")));
    if (!verdict) throw wrong(`“${get("verdict")}” is no verdict`);
    const [i, o] = ["in", "out"].map((name) => {
      const code = get(name);
      if (code && frameOf(code) === null) throw wrong(`“${code}” is no time code of this camera`);
      return code ? frameOf(code) : null;
    });
    const number = get("take");
    if (number && !/^[1-9]\d{0,5}$/.test(number)) throw wrong(`“${number}” is no take number`);
    return { s, n: Number(number) || 1, v: verdict, i, o, at: get("recorded"), card: get("card"), clip: get("clip"), a: names, r: get("remark") };
  });
}

async function openLog(file) {
  try {
    const found = takesIn(await file.text());
    const have = new Set(state.takes.map((t) => JSON.stringify(t)));
    const added = found.filter((t) => !have.has(JSON.stringify(t)));
    const done = { ...state.done };
    for (const t of added) if (t.v === "circled") done[shots[t.s].slate] = 1;
    change({ takes: [...state.takes, ...added], done, card: added.at(-1)?.card || state.card, clip: added.length ? nextClip(added.at(-1).clip) || state.clip : state.clip });
    showAll();
    byId("refused").hidden = true;
    put(byId("refused"), "");
    say(`Read ${many(found.length, "take")}, ${added.length} of them new`);
  } catch (wrong) {
    byId("refused").hidden = false;
    put(byId("refused"), `Not read. ${wrong.message}`);
  }
  byId("log").value = "";
}
