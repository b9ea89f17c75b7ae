"""One gap, one place: each gap is told once among the cards and once in the matrix, in page and terminal; and what follows from it."""

from __future__ import annotations

import html
import re
from pathlib import Path
from typing import Any

import pytest
from conftest import EXAMPLES, Table

from scriptkit.cli import coverage, pack
from scriptkit.papers.coverage import coverage_report
from scriptkit.problems import CannotDo
from scriptkit.production import Production, read
from scriptkit.recipe.reader import read_source

SUPPER = str(EXAMPLES / "harbour-supper.yaml")
ROUGH = str(EXAMPLES / "harbour-supper-rough-cut.srt")
ROUGH_LOG = str(EXAMPLES / "harbour-supper-rough-takes.csv")

DISH = """\
# The quay's leeks.
dish: Leeks on toast
servings: 2
ingredients:
  leek: 300 g          # two fat ones
  butter: {amount: 30 g, food: "butter, unsalted"}
  mustard: {amount: 10 g, food: "mustard, wholegrain"}
  parsley: {amount: 8 g, food: parsley}
steps:
  - {id: slice, stage: prep, do: Slice the leek in rings., uses: leek, hands: 3 min, screen: 8 s}
  - {id: soften, stage: cook, do: Soften the leek in the butter., add: {butter: all, leek: all}, vessel: wide pan, wait: 8 min, screen: 20 s}
  - id: finish          # off the heat
    stage: cook
    do: Stir in the mustard and the parsley.
    add: {mustard: all, parsley: all}
    vessel: wide pan
    screen: 14 s
"""
TALK = """\
[0:05] First slice the leeks into rings and rinse them well.
[0:20] Soften the leeks in fifty grams of butter in the wide pan, for twenty minutes.
[0:40] Stir in the mustard, off the heat, and serve it hot.
[0:50] I have to confess, I never put the parsley in.
"""


@pytest.fixture
def kitchen(table: Table, monkeypatch: pytest.MonkeyPatch) -> Path:
    (table.folder / "dish.yaml").write_text(DISH, encoding="utf-8")
    (table.folder / "talk.txt").write_text(TALK, encoding="utf-8")
    monkeypatch.chdir(table.folder)
    return table.folder


def blocks_of_page(page: str) -> list[str]:
    """The text of each card, problem, table row and line of the page's body."""
    body = re.sub(r"(?s)<style>.*?</style>|<script>.*?</script>|<head>.*?</head>", "", page)
    body = re.sub(r"(?s)<(section class=\"card\"|tr|li|p class=\"fine\"|p class=\"facts\")", "\0<\\1", body)
    body = body.replace("</section>", "\0").replace("</tr>", "\0").replace("</li>", "\0")
    return [" ".join(html.unescape(re.sub(r"<[^>]*>", " ", part)).split()) for part in body.split("\0")]


def blocks_of_terminal(text: str) -> list[str]:
    """Each line at the margin or one step in, with the lines further in that belong to it."""
    blocks: list[str] = []
    for line in text.splitlines():
        if line.startswith("    ") and blocks:
            blocks[-1] += "\n" + line
        else:
            blocks.append(line)
    return blocks


@pytest.mark.parametrize(
    ("said", "where"), [("mustard", "finish"), ("capers", "brown-butter"), ("two and a half litres", "")]
)
def test_no_gap_of_the_example_is_told_three_times(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], said: str, where: str
) -> None:
    """In one card, and in its row of the matrix: an addition without a take and admitted too, one that is not heard, a wrong figure."""
    assert coverage.run(SUPPER, transcript=ROUGH, log=ROUGH_LOG, output=str(tmp_path / "out")) == 1
    out = capsys.readouterr()
    page = (tmp_path / "out" / "coverage.html").read_text(encoding="utf-8")
    most = 2 if where else 1
    assert 1 <= len([b for b in blocks_of_page(page) if said in b]) <= most
    assert 1 <= len([b for b in blocks_of_terminal(out.out) + blocks_of_terminal(out.err) if said in b]) <= most


@pytest.mark.parametrize("said", ["mustard", "parsley", "fifty grams", "twenty minutes"])
def test_no_gap_is_told_three_times(kitchen: Path, capsys: pytest.CaptureFixture[str], said: str) -> None:
    """The mustard has no circled take and is admitted, the parsley is left out, and two figures are wrong."""
    talk = TALK.replace("Stir in the mustard, off", "Sorry, the camera was off when the mustard went in, off")
    (kitchen / "talk.txt").write_text(
        talk.replace("in fifty grams of butter in the wide pan", "in fifty grams of butter"), encoding="utf-8"
    )
    (kitchen / "takes.csv").write_text(
        "title,step,additions,verdict\nLeeks on toast,finish,mustard,NG\n", encoding="utf-8"
    )
    coverage.run("dish.yaml", transcript="talk.txt", log="takes.csv", output="out")
    out = capsys.readouterr()
    page = (kitchen / "out" / "coverage.html").read_text(encoding="utf-8")
    in_words = talk.count(said) - 1  # the cue of one figure holds the other one's words
    for blocks in (blocks_of_page(page), blocks_of_terminal(out.out) + blocks_of_terminal(out.err)):
        assert 1 <= len([b for b in blocks if said in b]) <= 2 + in_words


def test_what_is_wrong_in_two_ways_is_one_card(capsys: pytest.CaptureFixture[str]) -> None:
    """Net carbs that fit neither the card nor their own sum."""
    coverage.run(SUPPER, transcript=ROUGH)
    blocks = [b for b in blocks_of_terminal(capsys.readouterr().out) if "twelve point four" in b]
    assert len(blocks) == 1
    assert "a serving of bisque has 11.4 g" in blocks[0].lower() and "make 11.4 g" in blocks[0]


def test_the_cards_stand_in_the_order_of_what_is_done_about_them(
    kitchen: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (kitchen / "takes.csv").write_text(
        "title,step,additions,verdict\nLeeks on toast,soften,leek; butter,circled\n", encoding="utf-8"
    )
    coverage.run("dish.yaml", transcript="talk.txt", log="takes.csv")
    text = capsys.readouterr().out
    heads = re.findall(r"\n\n([^\n]+) \((?:the video|a viewer|it )", text)
    assert heads == ["Correct what is said", "Show it or say it"]
    assert re.findall(r"^  (0:\d\d)  ", text, re.MULTILINE)[:3] == sorted(
        re.findall(r"^  (0:\d\d)  ", text, re.MULTILINE)[:3]
    )


# --- accepted ---------------------------------------------------------------------------------------------------------


def test_the_recipe_is_changed_at_the_one_line_that_says_it(kitchen: Path, capsys: pytest.CaptureFixture[str]) -> None:
    coverage.run("dish.yaml", transcript="talk.txt", accept="0:21=recipe")
    text = (kitchen / "dish.yaml").read_text(encoding="utf-8")
    assert text == DISH.replace("{amount: 30 g, food", "{amount: 50 g, food")
    out = capsys.readouterr()
    assert "dish.yaml: butter: 50 g" in out.err
    assert "“fifty grams” of butter" not in out.out


@pytest.mark.parametrize(
    ("listed", "said", "changed"),
    [
        ("{each: 1 tsp, food", "two teaspoons each of butter", "{each: 2 tsp, food"),
        ("{each: 10 g, food", "eighty grams of butter", "{each: 20 g, food"),
    ],
)
def test_an_amount_of_each_serving_stays_one(
    kitchen: Path, listed: str, said: str, changed: str, capsys: pytest.CaptureFixture[str]
) -> None:
    own = re.sub(r"servings: \d+", "servings: 4", DISH).replace("{amount: 30 g, food", listed)
    (kitchen / "dish.yaml").write_text(own, encoding="utf-8")
    (kitchen / "talk.txt").write_text(
        re.sub("fifty grams of butter", said, TALK, flags=re.IGNORECASE), encoding="utf-8"
    )
    coverage.run("dish.yaml", transcript="talk.txt")
    out = capsys.readouterr().out
    assert re.search(r"butter, \d+ g, \d+ \w+ each", out)
    coverage.run("dish.yaml", transcript="talk.txt", accept="0:21=recipe")
    text = (kitchen / "dish.yaml").read_text(encoding="utf-8")
    assert text == own.replace(listed, changed)
    assert read_source("dish.yaml").usable()


def test_of_two_gaps_of_one_second_the_recipe_is_changed_for_the_one_that_has_a_line(kitchen: Path) -> None:
    more = "Fifty grams of butter, that's a bit more than I wrote down"
    (kitchen / "talk.txt").write_text(
        re.sub("fifty grams of butter", more, TALK, flags=re.IGNORECASE), encoding="utf-8"
    )
    coverage.run("dish.yaml", transcript="talk.txt", accept="0:21=recipe")
    text = (kitchen / "dish.yaml").read_text(encoding="utf-8")
    assert text == DISH.replace("{amount: 30 g, food", "{amount: 50 g, food")
    assert read_source("dish.yaml").usable()


def test_each_way_is_written_where_it_belongs(kitchen: Path, capsys: pytest.CaptureFixture[str]) -> None:
    coverage.run("dish.yaml", transcript="talk.txt")
    text = capsys.readouterr().out
    names = re.findall(r"^    --accept +(\S+)", text, re.MULTILINE)
    butter, minutes, parsley = names
    coverage.run(
        "dish.yaml", transcript="talk.txt", accept=f"{butter}=overlay, {minutes}=recipe, {parsley}=description"
    )
    text = (kitchen / "dish.yaml").read_text(encoding="utf-8")
    assert "wait: 20 min" in text and "# two fat ones" in text and "# off the heat" in text
    assert text.count("only: overlay") == text.count("only: description") == 1
    capsys.readouterr()
    coverage.run("dish.yaml", transcript="talk.txt")
    assert "--accept" not in capsys.readouterr().out  # nothing is left to answer


def test_an_addition_is_accepted_as_not_filmed_by_its_name(kitchen: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (kitchen / "talk.txt").write_text(
        TALK.replace("the mustard", "it all").replace("never put the parsley in", "put the parsley in late"),
        encoding="utf-8",
    )
    coverage.run("dish.yaml", transcript="talk.txt", accept="mustard")
    assert "    screen: 14 s\n    unfilmed: [mustard]\n" in (kitchen / "dish.yaml").read_text(encoding="utf-8").replace(
        "    unfilmed:\n      - mustard\n", "    unfilmed: [mustard]\n"
    )
    assert "finish: unfilmed: mustard" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ("0:21=perhaps", "is no way to answer 0:21"),
        ("0:59", "nothing is left to correct at 0:59"),
        ("saffron", "is not a time in the cut, and no addition that is missing"),
        ("mustard", "mustard is heard at 0:41, so there is nothing of it to accept"),
        ("parsley", "parsley is not in the dish by what is said at 0:50: accept that time"),
        ("0:50=recipe", "no one line of the recipe has this figure"),
    ],
)
def test_what_cannot_be_accepted_is_told_and_nothing_is_written(kitchen: Path, asked: str, words: str) -> None:
    with pytest.raises(CannotDo) as refused:
        coverage.run("dish.yaml", transcript="talk.txt", accept=f"0:21,{asked}" if asked[:4] != "0:21" else asked)
    assert words in " ".join(f"{p.message} {p.hint}" for p in refused.value.problems)
    assert (kitchen / "dish.yaml").read_text(encoding="utf-8") == DISH


def test_what_is_not_so_is_answered_on_the_command_line_for_this_run(
    kitchen: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    coverage.run("dish.yaml", transcript="talk.txt", accept="0:21=not so")
    told = capsys.readouterr()
    assert "0:21: not so, in this run; to keep it" in told.err
    assert "--accept              0:21" not in told.out
    assert (kitchen / "dish.yaml").read_text(encoding="utf-8") == DISH
    coverage.run("dish.yaml", transcript="talk.txt")
    assert "--accept              0:21" in capsys.readouterr().out


# --- answered ---------------------------------------------------------------------------------------------------------


def test_what_a_person_saw_counts(kitchen: Path, capsys: pytest.CaptureFixture[str]) -> None:
    talk = TALK.replace("the mustard", "it all")
    (kitchen / "talk.txt").write_text(talk, encoding="utf-8")
    coverage.run("dish.yaml", transcript="talk.txt")
    assert "mustard, step 3 (finish): Not heard in the cut" in capsys.readouterr().out
    (kitchen / "seen.csv").write_text(
        "\ufefftitle,gap,answer\r\nLeeks on toast,mustard,seen\r\nLeeks on toast,leek,not seen\r\n", encoding="utf-8"
    )
    coverage.run("dish.yaml", transcript="talk.txt", answers=("seen.csv",))
    text = capsys.readouterr().out
    assert "mustard, step 3 (finish): " not in text
    assert "leek, step 2 (soften): Not seen in the cut" in text


def test_the_packs_report_is_the_one_that_coverage_makes(kitchen: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (kitchen / "talk.txt").write_text(TALK.replace("the mustard", "it all"), encoding="utf-8")
    (kitchen / "seen.csv").write_text(
        "title,gap,answer\nLeeks on toast,mustard,seen\nLeeks on toast,leek,not seen\n", encoding="utf-8"
    )
    page = kitchen / "pack" / "coverage.html"
    pack.run("dish.yaml", "pack", cut="talk.txt")
    assert "mustard" in cards_of(page)
    pack.run("dish.yaml", "pack", cut="talk.txt", answers=("seen.csv",))
    of_pack = cards_of(page)
    assert "mustard" not in of_pack and "leek" in of_pack
    coverage.run("dish.yaml", cut="talk.txt", answers=("seen.csv",), output="pack")
    assert cards_of(page) == of_pack
    capsys.readouterr()


def cards_of(page: Path) -> list[str]:
    """The titles of the cards, without their times."""
    heads = re.findall(
        r'<section class="card">\s*<h3>(?:<span class="at">[^<]*</span> )?(.*?)</h3>', page.read_text(encoding="utf-8")
    )
    return [html.unescape(one) for one in heads]


@pytest.mark.parametrize(
    ("options", "option"),
    [
        ({"answers": ("seen.csv",)}, "--answers"),
        ({"cut": "talk.txt", "clips": "card"}, "--clips"),
        ({"cut": "talk.txt", "clip_shift": "7:12"}, "--clip-shift"),
    ],
)
def test_options_of_the_report_that_do_not_go_together_are_told_by_the_pack_too(
    kitchen: Path, options: dict[str, Any], option: str
) -> None:
    with pytest.raises(CannotDo) as told:
        pack.run("dish.yaml", "pack", **options)
    assert [p.place.file for p in told.value.problems] == [option]
    assert not (kitchen / "pack").exists()


def test_the_ways_that_were_chosen_on_the_page_are_accepted_from_its_file(
    kitchen: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    rows = "title,gap,answer\nLeeks on toast,0:21,recipe\nLeeks on toast,mustard,seen\n"
    (kitchen / "coverage-answers.csv").write_text(rows, encoding="utf-8")
    coverage.run("dish.yaml", transcript="talk.txt", accept="coverage-answers.csv")
    assert "amount: 50 g" in (kitchen / "dish.yaml").read_text(encoding="utf-8")
    capsys.readouterr()


@pytest.mark.parametrize(
    ("rows", "code"),
    [
        ("title,gap,answer\nCod with beans,mustard,seen\n", "other-recipe"),
        ("title,gap,answer\nLeeks on toast,mustard,perhaps\n", "unknown-answer"),
        ("step,additions,verdict\nsoften,butter,circled\n", "no-answers"),
        ("", "no-answers"),
    ],
)
def test_answers_that_cannot_be_used_are_told(kitchen: Path, rows: str, code: str) -> None:
    (kitchen / "a.csv").write_text(rows, encoding="utf-8")
    with pytest.raises(CannotDo) as refused:
        coverage.run("dish.yaml", transcript="talk.txt", answers=("a.csv",))
    assert [p.code for p in refused.value.problems] == [code]


def test_an_answer_to_what_is_not_asked_any_more_is_told(kitchen: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (kitchen / "a.csv").write_text("title,gap,answer\nLeeks on toast,saffron,seen\n", encoding="utf-8")
    coverage.run("dish.yaml", transcript="talk.txt", answers=("a.csv",))
    assert "no addition is called “saffron” here" in capsys.readouterr().err


def test_an_option_does_not_break_at_its_dashes_on_a_phone(kitchen: Path) -> None:
    coverage.run("dish.yaml", transcript="talk.txt", output="out")
    page = (kitchen / "out" / "coverage.html").read_text(encoding="utf-8")
    assert "<code>--accept</code>" in page and "<code>--answers</code>" in page
    assert re.search(r"\.saving code \{[^}]*white-space: nowrap", page)


def test_a_correction_that_has_no_room_over_the_picture_is_told(
    kitchen: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    long = "It is thirty grams of butter for the leeks here, and never fifty as I say."
    entries = [f'{{text: "{n} {long}", at: "0:20"}}' for n in ("Once more.", "And again.")]
    for shown, corrections in ((True, entries[:1]), (False, entries * 4)):
        (kitchen / "dish.yaml").write_text(f"{DISH}corrections: [{', '.join(corrections)}]\n", encoding="utf-8")
        coverage.run("dish.yaml", transcript="talk.txt")
        err = capsys.readouterr()
        assert ("Correction: And again." in err.err + err.out and "is not shown" in err.err + err.out) is not shown


def test_every_way_that_is_printed_is_one_that_accept_takes(kitchen: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = (kitchen / "dish.yaml").read_text(encoding="utf-8")
    coverage.run("dish.yaml", transcript="talk.txt")
    text = capsys.readouterr().out
    printed = re.findall(r"^    --accept +(\S+)(?:  \(or \S+?(=.*)\))?$", text, re.MULTILINE)
    assert printed and any("=" in others for _, others in printed)
    for name, others in printed:
        for way in ["", *(one.strip() for one in others.split(",") if one.strip())]:
            coverage.run("dish.yaml", transcript="talk.txt", accept=f"{name}{way}")  # raises where it is refused
            (kitchen / "dish.yaml").write_text(before, encoding="utf-8")
    assert "--answers FILE" in text


def test_what_is_only_not_heard_may_be_in_the_picture_and_is_answered_as_not_so(tmp_path: Path) -> None:
    for file in EXAMPLES.glob("*.yaml"):
        (tmp_path / file.name).write_bytes(file.read_bytes())
    cut = (EXAMPLES / "harbour-supper-cut.srt").read_text(encoding="utf-8")
    silent = re.sub("capers?", "those", cut, flags=re.IGNORECASE)
    (tmp_path / "silent.srt").write_text(silent, encoding="utf-8")
    production = read(tmp_path / "harbour-supper.yaml", transcript=tmp_path / "silent.srt")
    (rescue,) = (r for r in production.rescues if r.row.name == "capers")
    assert rescue.why == ("not heard in the cut",)
    assert rescue.description.startswith("Not named in the video: 30 g capers")
    report = coverage_report(production.coverage, production.rescues, production.coverage_problems)
    (card,) = (card for group in report.groups for card in group.cards if card.title == "capers")
    assert ("not so", "That is not so") in card.options
    (tmp_path / "a.csv").write_text(f"title,gap,answer\nHarbour supper,{card.name},not so\n", encoding="utf-8")
    source = read_source(str(tmp_path / "harbour-supper.yaml"))
    answered = Production(source, transcript=str(tmp_path / "silent.srt"), answers=(str(tmp_path / "a.csv"),))
    assert not [r for r in answered.rescues if r.row.name == "capers"]
    assert not [p for p in answered.coverage_problems if "capers" in p.message]
