"""Confessions and corrections in running talk: bound to their ingredient, followed to the last word, and what comes of them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from conftest import EXAMPLES

from scriptkit.cli.accepting import accept_gaps
from scriptkit.cut.coverage.addition_effects import GOES_IN, effects_of
from scriptkit.cut.placement import Cut, Placement
from scriptkit.cut.step_names import steps_of
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.cut.transcript.transcript_reader import read_transcript
from scriptkit.papers.coverage import coverage_report
from scriptkit.papers.coverage_json import coverage_json
from scriptkit.production import Production, read
from scriptkit.recipe.reader import read_source
from tests.cut.four_talks import sentences, talk, talked_of
from tests.speed.confessions import SETS, STARTS, Case, cases, supper, talk_with, told

SUPPER, LINES = supper()
CUT = (EXAMPLES / "harbour-supper-cut.srt").read_text(encoding="utf-8")


def placed(case: Case, transcript: Transcript) -> Cut:
    """Every step where it stands in the talk, with the sentence in it."""
    said = next(one for one in transcript.lines if one.text == case.words)
    more = said.end_ms - said.start_ms + 300
    places = []
    for dish, step in steps_of(SUPPER):
        ms = STARTS[step.id] * 1000 + 4000
        later = more if ms > said.start_ms else 0
        places.append(Placement(dish=dish, step=step, time_ms=ms + later, confidence=0.9))
    return Cut(title="supper", length_ms=300_000, placements=tuple(places), confidence=0.9)


def around(case: Case) -> tuple[Transcript, Cut]:
    """The talk of half a minute about the sentence, and where the steps stand."""
    whole = talk_with(case, LINES)
    at = next(one.start_ms for one in whole.lines if one.text == case.words)
    lines = tuple(one for one in whole.lines if abs(one.start_ms - at) < 20_000)
    return Transcript(file="cut.srt", lines=lines, problems=()), placed(case, whole)


@pytest.mark.parametrize(
    ("file", "right", "false"),
    [
        ("confessions.csv", 0.95, 0), ("confessions_clauses.csv", 0.9, 1), ("confessions_apart.csv", 0.85, 1), ("confessions_plain.csv", 0.95, 2),
        ("confessions_many_voices.csv", 0.95, 0),
        ("confessions_terse.csv", 0.85, 0),
    ],
)  # fmt: skip
def test_confessions_are_bound_rightly_and_harmless_sentences_are_left_alone(file: str, right: float, false: int) -> None:  # fmt: skip
    missed, alarms, count = [], [], 0
    for case in cases(file):
        found = told(effects_of(SUPPER, *around(case)))
        count += bool(case.effect)
        if found != dict.fromkeys(case.of, case.effect):
            (missed if case.effect else alarms).append((case.words, found))
    assert len(missed) <= (1 - right) * count, missed
    assert len(alarms) <= false, alarms


def test_both_sets_have_confessions_of_every_kind_and_as_many_harmless_sentences() -> None:
    kinds = {"left out", "later", "instead", "more", "less", "unfilmed"}
    for file in SETS:
        rows = cases(file)
        assert {c.effect for c in rows} - {""} == kinds
        assert sum(not c.effect for c in rows) >= 24
        assert sum(c.words[0].islower() for c in rows) >= len(rows) // 3


def effect_after(*lines: str) -> tuple[str, bool]:
    """What is left of all that is said of the mustard, which goes in at 10 s, and whether it was filmed."""
    spoken = tuple(SpokenLine(n * 8000, n * 8000 + 4000, text, n + 1) for n, text in enumerate(lines))
    places = tuple(
        Placement(dish=d, step=s, time_ms=10_000 if s.id == "finish" else None, confidence=0.9)
        for d, s in steps_of(SUPPER)
    )
    cut = Cut(title="x", length_ms=60_000, placements=places, confidence=0.9)
    effects = effects_of(SUPPER, Transcript(file="x", lines=spoken, problems=()), cut)
    (own,) = (e for e in effects if e.addition.ingredient.name == "mustard")
    return own.effect, own.unfilmed


@pytest.mark.parametrize(
    ("lines", "effect", "unfilmed"),
    [
        (["Twenty grams of mustard."], "goes in", False),
        (["Nothing of it."], "none", False),
        (["In goes the mustard.", "Stir it.", "No, that was flour. I forgot the mustard."], "left out", False),
        (["I forgot the mustard.", "So the mustard goes in now."], "goes in", False),
        (["I forgot the mustard.", "Twenty grams of mustard, it says."], "left out", False),
        (["I'll keep the mustard for later.", "And here is the mustard."], "goes in", False),
        (["The mustard comes later.", "Stir it.", "Stir it more."], "later", False),
        (["Add the mustard.", "The camera was off when the mustard went in."], "goes in", True),
        (["I put in twice as much mustard.", "Stir the mustard in."], "more", False),
        (["The camera was off.", "Stir it.", "I forgot the mustard."], "left out", False),
        (["Stir in the mustard.", "Now set the mustard aside."], "goes in", False),
    ],
)
def test_an_addition_is_followed_to_its_last_word(lines: list[str], effect: str, *, unfilmed: bool) -> None:
    assert effect_after(*lines) == (effect, unfilmed)


# --- what comes of it -------------------------------------------------------------------------------------------------


@pytest.fixture
def kitchen(tmp_path: Path) -> Path:
    for file in EXAMPLES.glob("*.yaml"):
        (tmp_path / file.name).write_bytes(file.read_bytes())
    return tmp_path


def filmed(kitchen: Path, *lines: str) -> Production:
    """The example meal with its cut, after which the lines are said, 5 s each."""
    cues = [f"{900 + n}\n00:04:{13 + 5 * n:02},000 --> 00:04:{17 + 5 * n:02},000\n{t}\n" for n, t in enumerate(lines)]
    name = kitchen / f"cut-{len(list(kitchen.glob('*.srt')))}.srt"
    name.write_text(f"{CUT.rstrip()}\n\n" + "\n".join(cues), encoding="utf-8")
    return read(kitchen / "harbour-supper.yaml", transcript=name)


CHIVES = "I have to confess, I never put the chives on the soup."


def test_what_was_left_out_is_not_captioned_as_going_in_and_is_a_gap(kitchen: Path) -> None:
    whole, confessed = filmed(kitchen), filmed(kitchen, CHIVES)
    assert "Chives 9 g" in whole.captions()  # else the next line says nothing
    assert "hives" not in confessed.captions()
    (chives,) = (row for row in confessed.coverage.rows if row.name == "chives")
    assert (chives.status, chives.spoken_ms) == ("left out", None)
    (rescue,) = confessed.rescues
    assert rescue.why == ("said to be left out",)
    assert rescue.overlay == "Left out here: 9 g chives"
    assert rescue.cue is not None and " ".join(rescue.cue.lines) == rescue.overlay
    assert rescue.insert == "Nothing: it is said not to be in the dish"
    told = [p for p in confessed.coverage_problems if p.code == "said-left-out"]
    assert [p.severity for p in told] == ["warning"] and CHIVES in told[0].message


def test_macros_of_what_was_cooked_stand_beside_what_is_written(kitchen: Path) -> None:
    assert filmed(kitchen, "Thank you for watching.").coverage.cooked == ()
    (bisque,) = filmed(kitchen, "I forgot the cream, I'm afraid.").coverage.cooked
    cream = next(m for i, m in filmed(kitchen).macros.dishes[0].ingredients if i.name == "cream")
    assert bisque.without == ("cream",)
    assert bisque.cooked is not None
    less = bisque.written.at_least("fat_g") - bisque.cooked.at_least("fat_g")
    assert less == pytest.approx(cream.at_least("fat_g") / 6, abs=0.01)
    (more,) = filmed(kitchen, "I put in about twice as much mustard as the recipe says.").coverage.cooked
    assert more.not_counted == ("more mustard",) and more.cooked is None


def test_a_correction_is_accepted_into_the_file_and_shown_and_no_longer_told(
    kitchen: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = (kitchen / "harbour-supper.yaml").read_text(encoding="utf-8")
    said = (CHIVES, "I put in about twice as much mustard as the recipe says.")
    production = filmed(kitchen, *said)
    assert [c.accepted for c in production.coverage.corrections] == [False, False]
    accept_gaps(production, "4:13")
    text = (kitchen / "harbour-supper.yaml").read_text(encoding="utf-8")
    assert text.startswith(before.rstrip("\n")) and text.count("at:") == 2  # for the picture and for the description
    assert "corrections: 4:13" in capsys.readouterr().err
    again = filmed(kitchen, *said)
    assert [c.accepted for c in again.coverage.corrections] == [True, False]
    assert again.rescues == ()
    accept_gaps(again, "all")
    last = filmed(kitchen, *said)
    assert all(c.accepted for c in last.coverage.corrections)
    assert not [p for p in last.coverage_problems if p.severity != "note"]
    assert last.publication().source.published.corrections[1].text.startswith("The recipe has 9 g chives")


def test_a_correction_stands_over_the_picture_at_its_moment(kitchen: Path) -> None:
    with (kitchen / "harbour-supper.yaml").open("a", encoding="utf-8") as file:
        file.write('corrections: [{text: "It is 20 g of mustard.", at: "2:50"}]\n')
    cue = next(c for c in filmed(kitchen).cues if c.lines[0].startswith("Correction:"))
    assert " ".join(cue.lines) == "Correction: It is 20 g of mustard."
    assert 170_000 <= cue.start_ms < 172_000


def test_a_kind_alone_is_no_name(kitchen: Path) -> None:
    talk = CUT.replace("and the chives", "and a bit of green").replace("the chives go over", "a bit of green goes over")
    talk = talk.replace("Chives", "Those").replace("chives", "those").replace("parsley", "those")
    (kitchen / "cut.srt").write_text(talk.replace("a bit of green", "a few herbs"), encoding="utf-8")
    production = read(kitchen / "harbour-supper.yaml", transcript=kitchen / "cut.srt")
    (chives,) = (row for row in production.coverage.rows if row.name == "chives")
    assert (chives.status, chives.spoken_ms) == ("not named", None)
    assert [p.code for p in production.coverage_problems if "chives" in p.message] == ["not-named"]


def test_json_says_what_is_said_of_each_addition(kitchen: Path) -> None:
    production = filmed(kitchen, CHIVES, "The camera was off when the mustard went in.")
    told = json.loads(json.dumps(coverage_json(production.coverage, production.rescues, ())))
    by_name = {a["ingredient"]: a for a in told["additions"]}
    assert (by_name["chives"]["mention"], by_name["chives"]["heard"]) == ("left out", False)
    assert by_name["chives"]["mention_s"] == 253 and by_name["chives"]["mention_words"] == CHIVES
    assert (by_name["mustard"]["mention"], by_name["mustard"]["unfilmed"]) == (GOES_IN, True)
    assert (by_name["cream"]["mention"], by_name["cream"]["unfilmed"]) == (GOES_IN, False)
    assert told["cooked"][0]["without"] == ["chives"]
    assert [c["of"] for c in told["corrections"]] == ["chives"]
    silent = read(kitchen / "harbour-supper.yaml", log=EXAMPLES / "harbour-supper-takes.csv").coverage
    assert {a["mention"] for a in coverage_json(silent, (), ())["additions"]} == {None}  # type: ignore[union-attr]


def test_the_example_talks_confess_what_they_confess() -> None:
    for name, unfilmed in (("harbour-supper-cut.srt", []), ("harbour-supper-rough-cut.srt", ["mustard"])):
        transcript = read_transcript((EXAMPLES / name).read_bytes(), name)
        effects = effects_of(SUPPER, transcript)
        assert [e.addition.ingredient.name for e in effects if e.unfilmed] == unfilmed
        assert {e.effect for e in effects} <= {"goes in", "shown", "none"}


def test_what_more_went_in_is_not_known_and_never_as_written(kitchen: Path) -> None:
    production = filmed(kitchen, "I put in about twice as much mustard as the recipe says.")
    (dish,) = production.coverage.cooked
    assert (dish.without, dish.not_counted, dish.cooked) == ((), ("more mustard",), None)
    told = json.loads(json.dumps(coverage_json(production.coverage, production.rescues, ())))
    assert told["cooked"][0]["serving_as_cooked"] is None
    report = coverage_report(production.coverage, production.rescues, production.coverage_problems)
    ways = [way for group in report.groups for card in group.cards for way in card.ways]
    assert [way.text for way in ways if way.label == "As cooked"] == [
        "not known until the file says how much went in, such as `weighed: 35 g`"
    ]


def test_the_page_tells_each_thing_once(kitchen: Path) -> None:
    production = filmed(kitchen, CHIVES, "I put in about twice as much mustard as the recipe says.")
    codes = {p.code for p in production.coverage_problems}
    assert {"said-left-out", "said-other-amount"} <= codes  # else the next lines say nothing
    report = coverage_report(production.coverage, production.rescues, production.coverage_problems)
    cards = [card for group in report.groups for card in group.cards]
    assert [(group.title, [c.title for c in group.cards]) for group in report.groups] == [
        ("Correct what is said", ["chives", "mustard"])
    ]
    assert [c.name for c in cards] == ["4:13", "4:18"]
    assert not [p for p in report.problems if "chives" in p.message or "mustard" in p.message]


def test_confessions_of_other_dishes_in_talk_that_runs_across_its_cues() -> None:
    missed, alarms, count = [], [], 0
    for n, said in list(enumerate(sentences()))[::3]:  # each is a talk of its own: all of them take ten seconds
        found = told(effects_of(talked_of(said.dish), *talk(said, n)))
        count += bool(said.effect)
        if found != dict.fromkeys(said.of, said.effect):
            (missed if said.effect else alarms).append((said.words, found))
    assert count >= 50
    assert len(missed) <= 0.2 * count, missed
    assert len(alarms) <= 3, alarms


@pytest.mark.parametrize(
    ("line", "overlay", "insert"),
    [
        (CHIVES, "Left out here: 9 g chives", "Nothing: it is said not to be in the dish"),
        ("The chives go on later, at the table.", "Not in yet: 9 g chives", "Nothing: it is said to come later"),
        (
            "We had no chives, so I used spring onion instead.",
            "Here spring onion replaces 9 g chives",
            "Nothing: it is said that spring onion went in",
        ),
        (
            "I swapped the chives for something else today.",
            "Replaced here: 9 g chives",
            "Nothing: it is said that something else went in",
        ),
    ],
)
def test_the_text_over_the_picture_says_what_became_of_it(kitchen: Path, line: str, overlay: str, insert: str) -> None:
    production = filmed(kitchen, line)
    (rescue,) = production.rescues
    assert (rescue.overlay, rescue.insert) == (overlay, insert)
    assert rescue.cue is not None and " ".join(rescue.cue.lines) == overlay
    accept_gaps(production, "all")  # then it is shown as it was offered, and the description has words of its own
    accepted = filmed(kitchen, line)
    assert rescue.cue in accepted.cues
    assert rescue.description in [c.text for c in accepted.source.published.corrections if c.only == "description"]


def test_a_figure_to_listen_to_comes_with_what_to_write_if_it_is_wrong(kitchen: Path) -> None:
    from scriptkit.papers.gap_cards import LISTEN_TO, card_groups

    production = filmed(kitchen, "the stock was two litres")
    (card,) = next(g for g in card_groups(production.coverage, production.rescues) if g.title == LISTEN_TO).cards
    assert [one.answer for one in card.choices] == ["both", "overlay", "description", "not so"]
    (way,) = card.ways
    assert way.label == "If it is wrong"
    assert way.text == 'corrections: [{text: "The recipe has 1.18 kg (1.2 l) of stock, not “two litres”.", at: "4:15"}]'
    with (kitchen / "harbour-supper.yaml").open("a", encoding="utf-8") as file:
        file.write(f"{way.text}\n")
    again = filmed(kitchen, "the stock was two litres")
    assert [c.text for c in again.publication().source.published.corrections] == [way.text.split('"')[1]]
    assert LISTEN_TO not in [g.title for g in card_groups(again.coverage, again.rescues)]


def test_what_corrects_a_figure_to_listen_to_is_accepted_by_its_name_and_not_by_all(
    kitchen: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    said = "the stock was two litres"
    accept_gaps(filmed(kitchen, said), "all")
    assert "no correction is left to accept" in capsys.readouterr().err
    accept_gaps(filmed(kitchen, said), "4:15=description")
    (one,) = filmed(kitchen, said).publication().source.published.corrections
    assert one.text == "The recipe has 1.18 kg (1.2 l) of stock, not “two litres”."


MUSTARD = "About thirty five grams of mustard went in, not twenty, because the spoon slipped."


def test_a_confessed_amount_counts_as_cooked_and_differs_from_nothing(kitchen: Path) -> None:
    plain, production = filmed(kitchen, "Thank you for watching."), filmed(kitchen, MUSTARD)
    assert not [c for c in production.coverage.claims if c.agrees is False and c.time_ms > 250_000]
    assert [(p.code, p.severity) for p in production.coverage_problems if "mustard" in p.message] == [
        ("said-other-amount", "warning")
    ]
    (dish,) = production.coverage.cooked
    assert (dish.not_counted, dish.said_amounts) == ((), ("35 g of mustard",))
    mustard = next(m for i, m in plain.macros.dishes[0].ingredients if i.name == "mustard")
    assert dish.cooked is not None
    more = dish.cooked.at_least("fat_g") - dish.written.at_least("fat_g")
    assert more == pytest.approx(mustard.at_least("fat_g") / 6 * 15 / 20, abs=0.01)
    (offer,) = (c for c in production.coverage.corrections if c.of == "mustard")
    assert offer.text == (
        "In the video about 35 g of wholegrain mustard went in; the recipe has 20 g wholegrain mustard."
    )


@pytest.mark.parametrize(
    "line",
    [
        "I put in about twice as much mustard as the recipe says.",
        "More mustard went in than it says, thirty five grams, or was it forty grams.",
    ],
)
def test_without_one_figure_the_amount_stays_unknown(kitchen: Path, line: str) -> None:
    (dish,) = filmed(kitchen, line).coverage.cooked
    assert (dish.not_counted, dish.said_amounts, dish.cooked) == (("more mustard",), (), None)


def answered(kitchen: Path, line: str, gap: str) -> Production:
    """The meal with the line said, and the answer that what is told of the gap is not so."""
    (kitchen / "a.csv").write_text(f"title,gap,answer\nHarbour supper,{gap},not so\n", encoding="utf-8")
    filmed(kitchen, line)
    newest = max(kitchen.glob("cut-*.srt"), key=lambda p: int(p.stem[4:]))
    source = read_source(str(kitchen / "harbour-supper.yaml"))
    return Production(source, transcript=str(newest), answers=(str(kitchen / "a.csv"),))


@pytest.mark.parametrize(
    ("line", "gap", "name"),
    [
        (CHIVES, "4:13", "chives"),
        (MUSTARD, "4:13", "mustard"),
        ("The camera was off when the mustard went in.", "mustard", "mustard"),
    ],
)
def test_what_a_person_says_is_not_so_is_told_no_more(kitchen: Path, line: str, gap: str, name: str) -> None:
    def told(production: Production) -> list[str]:
        return [p.message for p in production.coverage_problems if name in p.message]

    assert told(filmed(kitchen, line))  # else the next line says nothing
    production = answered(kitchen, line, gap)
    assert told(production) == []
    assert production.coverage.cooked == () and production.rescues == ()
    (row,) = (r for r in production.coverage.rows if r.name == name)
    assert row.status == "heard"


def test_a_figure_that_is_not_so_is_no_card_any_more(kitchen: Path) -> None:
    said = "the stock was two litres"
    assert [c.verdict for c in filmed(kitchen, said).coverage.claims if c.time_ms > 253_000] == ["listen"]
    production = answered(kitchen, said, "4:15")
    assert [c.verdict for c in production.coverage.claims if c.time_ms > 253_000] == []


def test_an_answer_about_which_nothing_is_told_is_told(kitchen: Path) -> None:
    production = answered(kitchen, CHIVES, "1:01")
    assert [p.message for p in production.coverage_problems if p.code == "unknown-gap"] == [
        "nothing is told of “1:01” here"
    ]
    assert any("chives" in p.message for p in production.coverage_problems)


def test_what_of_it_is_counted_and_what_is_not_are_told_apart(kitchen: Path) -> None:
    """The amount that was said is in the figures as cooked, what replaced another ingredient is not."""
    production = filmed(kitchen, MUSTARD, "I used spring onion instead of the chives.")
    (dish,) = production.coverage.cooked
    assert dish.said_amounts == ("35 g of mustard",) and len(dish.not_counted) == 1
    report = coverage_report(production.coverage, production.rescues, production.coverage_problems)
    [way] = [way for group in report.groups for card in group.cards for way in card.ways if way.label == "As cooked"]
    assert f"with 35 g of mustard, as it is said; not counted: {dish.not_counted[0]}; as written" in way.more
