"""The deliberately faulty dish: every planted fault is told once, where it stands, and nothing follows from it."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable
from pathlib import Path

from conftest import EXAMPLES, ROOT
from messages import placed

Run = Callable[..., "subprocess.CompletedProcess[str]"]
FAULTY = EXAMPLES / "faulty-chowder.yaml"

# LINE:COLUMN severity code, in the order of the file. Captions that find no room follow from a screen that is too short;
# they are held in tests/captions.
GOLDEN = """
3:7     warning deadly             1 kg of nutmeg
4:1     error unknown-key        promiss
6:10    warning serving          4 × 300 g is not 1.8 kg
8:7     error wrong-value        cups: uss
9:16    error absurd-amount      a jug of 2 ml
13:24   note estimated-weight    a cup of potato, sliced
14:24   error amount             2-3 medium
15:24   error no-weight          2 stalks of leek
17:24   error which-weight       a cup of onion, trimmed
18:3    error unknown-food       butter: salted or unsalted?
19:35   error unknown-food       tyme, fresh
20:24   error amount             0,5 l
21:24   error unit               2 ladles
22:37   error unknown-food       tinned sweet maize
22:57   error unknown-key        peice
23:39   error wrong-value        bought: hole
24:3    note unknown-figure      bacon: its label prints no carbohydrate
25:62   error refuse             samphire bought whole
26:24   error absurd-amount      1 kg of nutmeg
27:16   error empty              chives without an amount
28:3    error missing-key        lemon without an amount
29:3    error never-used         bay leaf
30:3    warning never-added      parsley
32:3    error duplicate-key      flour
37:10   error label              27 g in 20 g of bacon
38:12   error wrong-value        basis: uk
39:18   error label              900 kcal in 20 g
42:119  error allergen           selery
45:5    warning silence          22 s before the first line
48:42   error not-listed         turnip
55:12   error duration           2 of what?
57:5    error screen-too-short   six additions in 6 s
60:59   error parts              50 g of 80 g celery
66:10   error say-unknown        {buter}
74:10   error free-from          dairy-free, with milk and cream
74:10   warning free-from-unsure and bacon, whose label says nothing
74:10   warning say-elsewhere    {salt}
75:9    error same-id            soften
76:12   error wrong-value        stage: cok
78:40   error used-twice         flour
80:11   error temperature        63 of what?
81:11   error duration           1:30
83:5    note below-minimum       52 °C
83:5    warning silence          1 min 8 s to the end
86:11   error before-prepared    haddock
86:110  error to-taste           5 g of salt
96:13   error duration           -3 s
97:5    error missing-key        do
97:5    note no-screen-time      plate-chowder
100:12  error wrong-value        sound: silent
101:16  error no-such-rule       serring
"""


def golden() -> list[str]:
    return [" ".join(row.split()[:3]) for row in GOLDEN.strip().splitlines()]


def test_check_lists_every_planted_fault(run: Run) -> None:
    done = run("check", str(FAULTY), "--json")
    assert done.returncode == 1
    problems = json.loads(done.stdout)["problems"]
    assert {p["file"] for p in problems} == {str(FAULTY)}
    told = [
        f"{p['line']}:{p['column']} {p['severity']} {p['code']}"
        for p in problems
        if not p["code"].startswith("caption-")
    ]
    assert list(dict.fromkeys(told)) == golden()


def test_the_messages_are_printed_with_file_line_and_column(run: Run) -> None:
    done = run("check", str(FAULTY))
    assert done.returncode == 1
    assert done.stdout == ""
    for row in golden():
        place, words = row.split(maxsplit=1)
        assert f"{FAULTY.name}:{place} {words}" in placed(done.stderr)


def test_every_error_and_warning_has_a_hint(run: Run) -> None:
    problems = json.loads(run("check", str(FAULTY), "--json").stdout)["problems"]
    assert [p for p in problems if not p["hint"]] == []


def test_no_pack_is_made_of_it(run: Run, tmp_path: Path) -> None:
    done = run("pack", str(FAULTY), "-o", "out")
    assert done.returncode == 2
    assert done.stdout == ""
    assert "Traceback" not in done.stderr
    assert "unknown-food" in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_its_top_says_that_it_is_faulty() -> None:
    assert FAULTY.read_text(encoding="utf-8").startswith("# DELIBERATELY FAULTY.")
    assert FAULTY.is_relative_to(ROOT / "examples")
