"""Any sequence of taps on the stage page gives a log whose replay is the screen, and the file that the program reads."""

from __future__ import annotations

import json
import random
from pathlib import Path
from typing import Any

import pytest
from conftest import wait_until
from stage_phone import KEPT, LEEKS, Phone, Set, make_set, phone

from scriptkit.shoot.log.log_cells import CIRCLED
from scriptkit.shoot.log.stage_events import StageLog, replay, write_stage_log
from scriptkit.shoot.log.stage_taps import event_of
from scriptkit.shoot.log.take_log import rate_of

# A tap on anything that may be tapped, in the page itself: 200 of them in a moment. What is typed is typed, dialogs come and go.
TAPS = """([taps, hurry]) => {
  for (const [which, word] of taps) {
    window.skew += hurry;
    const open = document.querySelector('dialog[open]');
    const choice = [...(open || document).querySelectorAll('button, input:not([type=file])')].filter(e => e.getClientRects().length
      && !['save', 'save-archive'].includes(e.dataset.act));
    const at = choice[Math.floor(which * choice.length)];
    if (at.localName === 'button') at.click();
    else if (at.type === 'radio') { at.checked = true; at.dispatchEvent(new Event('change', {bubbles: true})) }
    else { at.value = word; for (const kind of ['input', 'change']) at.dispatchEvent(new Event(kind, {bubbles: true})) }
  }
  for (const open of document.querySelectorAll('dialog[open]')) open.close();
}"""
SCREEN = """async () => {
  document.getElementById('list').click();
  document.getElementById('search').value = '';
  document.getElementById('search').dispatchEvent(new Event('input', {bubbles: true}));
  const rows = () => [...document.querySelectorAll('#rows button')];
  while (rows().length < Number(document.getElementById('place').textContent.split(' ').at(-1))) await new Promise(done => setTimeout(done, 5));
  const signs = Object.fromEntries(rows().map(b => [b.querySelector('b').textContent, b.querySelector('.sign').ariaLabel]));
  const found = document.getElementById('found').textContent;
  const states = {};
  for (const row of rows()) {
    document.getElementById('list').click();
    row.click();
    states[document.getElementById('slate').textContent] = document.getElementById('state').textContent;
  }
  for (const open of document.querySelectorAll('dialog[open]')) open.close();
  return {signs, found, states, rolling: document.getElementById('rolling').hidden ? '' : document.getElementById('rolling').ariaLabel};
}"""
WORDS = ["29", "1,9 kg", "abc", "", "A002", "C0100", '-1, "x"', "7B", "soft focus"]


def expected(stage: Set, log: StageLog) -> dict[str, Any]:
    """The screen of a log, by the program's replay."""
    keys = {shot.slate: key_of(shot, stage) for shot in stage.shots}
    circled = {(*t.shot.split("\t")[:2], name) for t in log.takes if t.verdict == CIRCLED for name in t.additions}
    signs, states = {}, {}
    for shot in stage.shots:
        key = keys[shot.slate]
        names = [a.ingredient.name for a in shot.additions]
        takes = [t for t in log.takes if t.shot == key]
        covered = bool(names) and all((*key.split("\t")[:2], name) in circled for name in names)
        rolls = key in log.rolls
        got = any(t.verdict == CIRCLED for t in takes)
        last = takes[-1] if takes else None
        if rolls:
            signs[shot.slate] = "rolling"
            states[shot.slate] = f"Take {1 + (last.number if last else 0)} rolls"
        elif got or covered:
            signs[shot.slate] = "circled" if got else "in a take of another shot"
            if not got:
                states[shot.slate] = "In a take of another shot"
            elif last is not None:
                behind = "" if last.verdict == CIRCLED else ", an earlier one circled"
                states[shot.slate] = f"Take {last.number} {last.verdict}{behind}"
        else:
            signs[shot.slate] = last.verdict if last else "not filmed"
            states[shot.slate] = f"Take {last.number} {last.verdict}" if last else "Not filmed"
    additions = [(*keys[s.slate].split("\t")[:2], a.ingredient.name) for s in stage.shots for a in s.additions]
    count = sum(one in circled for one in additions)
    takes_words = f"{len(log.takes)} take{'' if len(log.takes) == 1 else 's'}"
    slates = {key: slate for slate, key in keys.items()}
    return {
        "signs": signs, "states": states, "found": f"{count} of {len(additions)} additions circled, {takes_words}",
        "rolling": f"{listed([slates[key] for key in log.rolls])} {'are' if len(log.rolls) > 1 else 'is'} rolling" if log.rolls else "",
    }  # fmt: skip


def listed(names: list[str]) -> str:
    return " and ".join(filter(None, [", ".join(names[:-1]), names[-1]]))


def key_of(shot: Any, stage: Set) -> str:
    """Dish, step and additions, or which of the step's shots without any it is, in the order of the list."""
    step = shot.step.id if shot.step else f"~{'opening' if shot.stage == 'opening' else 'closing'}"
    dish = shot.dish.name if shot.dish else ""
    names = "; ".join(a.ingredient.name for a in shot.additions)
    same = [s for s in stage.shots if s.dish is shot.dish and s.step is shot.step and not s.additions and (s.stage == "opening") == (shot.stage == "opening")]  # fmt: skip
    return f"{dish}\t{step}\t{'+' + names if names else '#' + str(1 + same.index(shot))}"


def agree(on: Phone, stage: Set, folder: Path) -> StageLog:
    events = [event_of(json.loads(json.dumps(raw))) for raw in on.page.evaluate(KEPT)]
    log = replay(events, rate_of(stage.source))
    assert on.page.evaluate(SCREEN) == expected(stage, log)
    saved = on.save(folder).read_bytes().decode("utf-8")
    assert saved == write_stage_log(log, stage.source.name, rate_of(stage.source))
    read = stage.read(folder / "saved.csv")
    assert [p for p in read.problems if p.severity == "error"] == []
    assert [(t.number, t.verdict) for t in read.takes] == [(t.number, t.verdict) for t in log.takes]
    assert len(read.weighings) == len(log.weights)
    return log


@pytest.mark.parametrize("seed", range(6))
def test_the_replay_of_any_200_taps_is_the_screen(browser: Any, tmp_path: Path, seed: int) -> None:
    stage = make_set("harbour-supper.yaml" if seed % 2 else LEEKS, tmp_path)
    any_of = random.Random(seed)
    taps = [[any_of.random(), any_of.choice(WORDS)] for _ in range(200)]
    with phone(browser, stage.path) as on:
        on.page.evaluate(TAPS, [taps, 0 if seed == 5 else 400])  # in a hurry, and at ease
        log = agree(on, stage, tmp_path)
        assert log.takes or log.archived or log.rolls
        on.reload()
        assert agree(on, stage, tmp_path) == log


@pytest.mark.parametrize("seed", range(3))
def test_the_merged_taps_of_several_devices_are_the_same_on_the_page_and_on_the_laptop(
    browser: Any, tmp_path: Path, seed: int
) -> None:
    """Rolls over rolls, verdicts on takes of other devices, things undone: whatever they tapped without knowing of each other."""
    stage = make_set(LEEKS, tmp_path)
    any_of = random.Random(seed)
    shots = [shot for shot in stage.shots if shot.step is not None]
    made: list[dict[str, Any]] = []
    for n in range(1, 121):
        device, shot = any_of.choice(["cook", "helper", "spare"]), any_of.choice(shots)
        ids = [e["id"] for e in made[-12:]] or ["none-1"]
        names = [a.ingredient.name for a in shot.additions]
        more: dict[str, Any] = {
            "roll": {"s": key_of(shot, stage), "l": shot.slate, "a": names, "over": any_of.sample(ids, any_of.randrange(min(3, len(ids))))},
            "judge": {"s": key_of(shot, stage), "l": shot.slate, "a": names, "of": any_of.choice([*ids, ""]), "v": any_of.choice(["circled", "hold", "NG"]), "card": "1", "clip": str(n)},
            "change": {"of": any_of.choice(ids), "v": any_of.choice(["circled", "NG"])}, "cover": {"of": any_of.choice(ids), "a": []}, "undo": {"of": any_of.choice(ids)},
        }  # fmt: skip
        kind = any_of.choices(list(more), [5, 5, 1, 1, 1])[0]
        made.append(
            {
                "id": f"{device}-{n}",
                "n": n,
                "d": device,
                "t": 1_791_193_276_000 + 1700 * n,
                "z": 0,
                "k": kind,
                **more[kind],
            }
        )
    any_of.shuffle(made)
    with phone(browser, stage.path) as on:
        on.page.evaluate(
            """made => { const shelf = Object.keys(localStorage).find(k => k.endsWith(':device')).replace(/:device$/, '');
            localStorage.setItem(shelf + ':log:other:0', JSON.stringify(made)) }""",
            made,
        )
        on.page.reload()
        wait_until(on.page, "document.getElementById('undo') !== null && !document.getElementById('stage').hidden")
        log = agree(on, stage, tmp_path)
        assert len(log.takes) > 10


def test_a_log_of_10_000_taps_is_still_kept_and_shown(browser: Any, tmp_path: Path) -> None:
    stage = make_set(LEEKS, tmp_path)
    with phone(browser, stage.path) as on:
        on.go("3A")
        # Roll and Circle in turn, by the buttons.
        on.page.evaluate(
            """() => { const hands = document.querySelectorAll('#hands button');
            for (let n = 0; n < 5000; n++) { window.skew += 400; hands[3].click(); window.skew += 1000; hands[2].click() } }"""
        )
        assert on.text("#state") == "Take 5000 circled"
        log = agree(on, stage, tmp_path)
        assert len(log.takes) == 5000
        on.reload()
        assert on.state("3A") == "Take 5000 circled"
        on.tap("Undo")
        assert on.text("#state") == "Take 5000 rolls"
