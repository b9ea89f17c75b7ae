// The on-set page: takes stamped at a tap, what is still missing before an irreversible step, and the log as a file.
// Plain JavaScript without requests. `shots` (JSON in the page) is what the list prints; everything else is state.
(() => {
  "use strict";
  const list = JSON.parse(document.getElementById("shots").textContent);
  const byId = (id) => document.getElementById(id);
  const VERDICTS = { c: "circled", h: "hold", n: "NG" };
  const COLUMNS = ["title", "dish", "card", "clip", "scene", "setup", "take", "step", "additions", "in", "out", "recorded", "verdict", "remark"];

  // --- the list ------------------------------------------------------------------------------------------------------
  const shots = list.shots.map(([slate, step, dish, names]) => ({
    slate, scene: slate.match(/^\d*/)[0], setup: slate.replace(/^\d*/, ""), step: step < 0 ? "" : list.steps[step],
    stepNumber: step, dish: dish < 0 ? "" : list.dishes[dish], names,
  }));
  const additions = shots.flatMap((shot, s) => shot.names.map((name) => ({ key: shot.stepNumber + "\n" + name, name, slate: shot.slate, s })));
  const gates = list.gates.map(([s, before]) => ({ s, before }));

  // --- time code: labels since midnight, drop-frame where the camera drops -------------------------------------------
  const [num, den, nominal, drop] = list.rate;
  const tenMinutes = nominal * 600 - 9 * drop;
  const day = tenMinutes * 144;
  const two = (n) => String(n).padStart(2, "0");

  function label(frame) {
    const tens = Math.floor(frame / tenMinutes), rest = frame % tenMinutes;
    const dropping = Math.floor(Math.max(0, rest - drop) / (nominal * 60 - drop));
    const labels = frame + drop * (9 * tens + dropping);
    const seconds = Math.floor(labels / nominal);
    return `${two(Math.floor(seconds / 3600) % 24)}:${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}${drop ? ";" : ":"}${two(labels % nominal)}`;
  }

  function frameOf(text) {
    const found = /^(\d\d):([0-5]\d):([0-5]\d)[:;.](\d\d)$/.exec(text);
    if (!found) return null;
    const [h, m, s, f] = found.slice(1).map(Number);
    const frame = ((h * 60 + m) * 60 + s) * nominal + f - drop * (h * 60 + m - Math.floor((h * 60 + m) / 10));
    return label(frame).replace(/\D/g, "") === text.replace(/\D/g, "") ? frame : null;  // a label that does not exist comes out as another
  }

  function frameAt(date) {
    const ms = ((date.getHours() * 60 + date.getMinutes()) * 60 + date.getSeconds()) * 1000 + date.getMilliseconds();
    return Math.floor((ms * num) / den / 1000) % day;
  }

  const wall = (d) => `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())} ${two(d.getHours())}:${two(d.getMinutes())}:${two(d.getSeconds())}`;

  // --- state, never changed in place, so that undo is the one before -------------------------------------------------
  const fresh = () => ({ seq: 0, card: "1", clip: "1", takes: [], done: {}, roll: null });
  let state = fresh();
  let past = [];

  const nextClip = (clip) => clip.replace(/\d+(?=\D*$)/, (n) => String(Number(n) + 1).padStart(n.length, "0"));
  const takesOf = (s) => state.takes.filter((t) => t.s === s);
  const nextTake = (s) => 1 + state.takes.reduce((most, t) => (t.s === s && t.n > most ? t.n : most), 0);

  function change(made) {
    past.push(state);
    if (past.length > 50) past.shift();
    state = { ...state, ...made, seq: state.seq + 1 };
    save();
  }

  function missingBefore(count) {
    const covered = new Set();
    for (const t of state.takes) if (t.v === "circled") for (const name of t.a) covered.add(shots[t.s].stepNumber + "\n" + name);
    return additions.slice(0, count).filter((a) => !covered.has(a.key));
  }

  // --- kept on the device: local storage at each tap, and a second copy that is on the disk when a battery fails ------
  const key = "scriptkit-takes-" + list.hash;
  let disk = null;
  let keeps = { local: true, disk: "indexedDB" in window };

  function save() {
    const text = JSON.stringify(state);
    try {
      localStorage.setItem(key, text);
    } catch {
      keeps.local = false;
    }
    if (disk) {
      try {
        const work = disk.transaction("logs", "readwrite", { durability: "strict" });
        work.objectStore("logs").put(text, key);
        work.onabort = () => refused();
      } catch {
        refused();
      }
    }
    sayKept();
  }

  function refused() {
    keeps.disk = false;
    disk = null;
    sayKept();
  }

  function sayKept() {
    const told = keeps.local || keeps.disk ? "" : "This device keeps nothing for this page: save the log before you close it.";
    if (byId("kept").textContent !== told) byId("kept").textContent = told;
    byId("kept").hidden = !told;
  }

  /** The state of a text that was kept; null where it is none. */
  function kept(text) {
    try {
      const read = JSON.parse(text);
      return read && Array.isArray(read.takes) && read.takes.every((t) => shots[t.s]) ? { ...fresh(), ...read } : null;
    } catch {
      return null;
    }
  }

  function adopt(text) {
    const found = kept(text);
    if (found && found.seq > state.seq) {
      state = found;
      past = [];
      showAll();
    }
  }

  function open() {
    try {
      adopt(localStorage.getItem(key));
    } catch {
      keeps.local = false;
    }
    try {
      const asked = indexedDB.open("scriptkit", 1);
      asked.onupgradeneeded = () => asked.result.createObjectStore("logs");
      asked.onerror = () => refused();
      asked.onsuccess = () => {
        disk = asked.result;
        const got = disk.transaction("logs").objectStore("logs").get(key);
        got.onsuccess = () => (got.result && kept(got.result)?.seq > state.seq ? adopt(got.result) : state.seq && save());
      };
    } catch {
      refused();
    }
    sayKept();
  }

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
      views.push({ row, box: tick.querySelector("input"), cell, count, roll: buttons[0], told: cell.lastChild, remark: null });
    });
    for (const gate of gates) {
      const row = element("tr", "", "gate"), cell = element("td"), head = element("p"), names = element("ul");
      const at = views[gate.s].row;
      cell.colSpan = at.cells.length;
      cell.append(head, names);
      row.append(cell);
      at.before(row);
      gateViews.push({ row, head, names });
    }
    byId("on-set").hidden = byId("bar").hidden = false;
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

  function showGate(n, all) {
    const { s, before } = gates[n], view = gateViews[n], missing = additions.slice(0, before).filter((a) => all.has(a.key));
    view.row.classList.toggle("stop", missing.length > 0);
    put(view.head, missing.length ? `Stop: ${missing.length} missing before you go on to ${shots[s].slate}` : `Go on: every addition before ${shots[s].slate} is circled`);
    fill(view.names, missing, MOST_AT_A_GATE);
  }

  let later = 0;
  /** All gates, the next one first; the others in small turns, so that a tap is answered at once on a slow phone. */
  function showGates(next, all) {
    clearTimeout(later);
    if (next >= 0) showGate(next, all);
    let n = 0;
    const turn = () => {
      for (const end = n + 8; n < Math.min(end, gates.length); n++) showGate(n, all);
      if (n < gates.length) later = setTimeout(turn, 0);
    };
    later = setTimeout(turn, 0);
  }

  function showMissing() {
    const all = new Set(missingBefore(additions.length).map((a) => a.key));
    const before = (count) => additions.slice(0, count).filter((a) => all.has(a.key));
    const last = state.roll ? state.roll.s : state.takes.length ? state.takes.at(-1).s : -1;
    const gate = gates.find((g) => g.s > last);
    showGates(gates.indexOf(gate), all);
    const missing = before(gate ? gate.before : additions.length);
    const where = gate ? `you go on to ${shots[gate.s].slate}` : "the pans are washed";
    const sign = missing.length ? `${missing.length} missing before ${where}` : `Nothing missing before ${where}`;
    put(byId("missing-head"), sign);
    put(byId("sign"), sign);
    byId("sign").classList.toggle("stop", missing.length > 0);
    byId("missing").classList.toggle("stop", missing.length > 0);
    byId("sign").dataset.s = missing.length ? missing[0].s : gate ? gate.s : shots.length - 1;
    fill(byId("missing-names"), missing, 40);
    put(byId("wrap"), `${additions.length - all.size} of ${additions.length} additions circled, ${many(state.takes.length, "take")}`);
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
    say(was?.s === s ? `${shots[s].slate}: the roll is thrown away` : was ? `The roll is now ${shots[s].slate}, no longer ${shots[was.s].slate}` : `Rolling ${shots[s].slate} take ${nextTake(s)}`, !was);
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

  // --- the log as a file ---------------------------------------------------------------------------------------------
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

  // --- wiring --------------------------------------------------------------------------------------------------------
  build();
  open();
  showAll();
  tick();
  setInterval(tick, 250);

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
})();
