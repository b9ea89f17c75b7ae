"""Talks that a cook hands in by mistake, or as a recogniser writes them: of another dish, in another language, without a figure, ten hours
long, and in cues of one word or of five minutes."""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from conftest import EXAMPLES
from spoken import SUPPER, TALK

import scriptkit
from scriptkit.cut.claims.all_claims import claims_in
from scriptkit.cut.claims.claim import Claim
from scriptkit.cut.placing.place_steps import place
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.cut.transcript.transcript_reader import read_transcript
from scriptkit.problems import CannotDo
from scriptkit.production import Production

HAKE = """
[0:05] Pat the hake fillets dry with kitchen paper and salt the skin with half of the salt.
[0:20] Chop the parsley, and do not crush it.
[0:35] Into the frying pan goes the olive oil, two tablespoons of it, and then the hake, skin side down. Press it flat.
[1:05] Turn the fillets and fry them until the middle is done.
[1:25] Brown the butter, fifty grams, then off the heat the capers, the lemon juice and the parsley.
[1:50] Plate the hake, the rest of the salt, and spoon the butter over.
"""
NO_FIGURE = (
    HAKE.replace(", two tablespoons of it,", "")
    .replace(", fifty grams,", "")
    .replace("half of the salt", "some of the salt")
)
OF_ANOTHER_DISH = """
[0:05] Today we bake banana bread. Mash three ripe bananas in a bowl with a fork.
[0:20] Whisk two eggs with a hundred and fifty grams of sugar, and a teaspoon of vanilla.
[0:40] Sift in two hundred grams of flour, a teaspoon of baking soda and a quarter of a teaspoon of salt.
[1:00] Fold in the walnuts, pour the batter into the loaf tin, and smooth the top.
[1:20] Bake it at one hundred and eighty degrees for fifty minutes, until a skewer comes out clean.
[1:40] Let the loaf cool in its tin for ten minutes before you slice it. See you next week.
"""
GERMAN = """
[0:05] Die Seehechtfilets mit Küchenpapier trocken tupfen und die Haut mit 1 TL Salz bestreuen.
[0:20] Die Petersilie fein hacken, 15 g, aber nicht zerdrücken.
[0:35] 3 EL Olivenöl in die Pfanne geben, dann den Fisch auf der Hautseite 8 Minuten braten.
[1:05] Wenden und fertig garen, bis innen 70 Grad erreicht sind.
[1:25] 90 g Butter bräunen, vom Herd nehmen, 30 g Kapern und 2 EL Zitronensaft dazugeben.
[1:50] Auf warmen Tellern anrichten, mit dem restlichen Salz würzen und die Butter darüber löffeln.
"""
FRENCH = """
[0:05] Séchez les filets de merlu avec du papier, puis salez la peau avec 1 cuillère de sel.
[0:20] Hachez le persil, 15 g, sans l'écraser.
[0:35] Versez 3 cuillères d'huile d'olive dans la poêle, et saisissez le poisson côté peau pendant 8 minutes.
[1:05] Retournez et laissez cuire jusqu'à 70 degrés au centre.
[1:25] Faites blondir 90 g de beurre, retirez du feu, ajoutez 30 g de câpres et le jus d'un citron.
[1:50] Dressez sur des assiettes chaudes et nappez de beurre.
"""


def of_talk(tmp_path: Path, talk: str) -> Production:
    file = tmp_path / "talk.txt"
    file.write_text(talk, encoding="utf-8")
    return Production(scriptkit.read(str(EXAMPLES / "seared-hake.yaml")).reading, transcript=str(file))


@pytest.mark.parametrize("talk", [GERMAN, FRENCH], ids=["German", "French"])
def test_a_talk_in_another_language_is_told_and_nothing_of_it_judged(tmp_path: Path, talk: str) -> None:
    with pytest.raises(CannotDo, match="not in English") as told:
        _ = of_talk(tmp_path, talk).coverage
    assert [p.hint for p in told.value.problems] != [""]


def test_a_talk_of_another_dish_is_told_and_nothing_of_it_judged(tmp_path: Path) -> None:
    production = of_talk(tmp_path, OF_ANOTHER_DISH)
    codes = [p.code for p in production.coverage_problems]
    assert codes.count("other-video") == 1
    assert production.coverage.claims == ()
    assert not [code for code in codes if code.startswith(("spoken-", "said-"))]


@pytest.mark.parametrize(
    "talk", [HAKE, HAKE.lower().replace(",", "").replace(".", "")], ids=["as written", "recognised"]
)
def test_the_talk_of_the_dish_is_judged(tmp_path: Path, talk: str) -> None:
    production = of_talk(tmp_path, talk)
    assert "other-video" not in {p.code for p in production.coverage_problems}
    assert {c.subject: c.agrees for c in production.coverage.claims} == {
        "salt": True,
        "olive oil": True,
        "butter": True,
    }


def test_a_talk_without_a_figure_has_none_and_is_heard_all_the_same(tmp_path: Path) -> None:
    production = of_talk(tmp_path, NO_FIGURE)
    assert production.coverage.claims == ()
    assert not [p for p in production.coverage_problems if p.code.startswith("spoken-") or p.code == "other-video"]
    assert all(row.spoken_ms is not None for row in production.coverage.rows)


# --- cues of any length -----------------------------------------------------------------------------------------------


def words_of(lines: tuple[SpokenLine, ...]) -> Iterator[SpokenLine]:
    """A cue a word, each with its share of the line's time."""
    for line in lines:
        at = 0
        for word in line.text.split():
            start = line.text.index(word, at)
            at = start + len(word)
            share = (line.end_ms - line.start_ms) / len(line.text)
            yield SpokenLine(line.start_ms + round(start * share), line.start_ms + round(at * share), word, line.line)


def in_long_cues(lines: tuple[SpokenLine, ...], length_ms: int) -> Iterator[SpokenLine]:
    """All that is said within each stretch in one cue."""
    slots: dict[int, list[SpokenLine]] = {}
    for line in words_of(lines):
        slots.setdefault(line.start_ms // length_ms, []).append(line)
    for said in slots.values():
        yield SpokenLine(said[0].start_ms, said[-1].end_ms, " ".join(w.text for w in said), said[0].line)


def verdicts(transcript: Transcript) -> list[tuple[str, str, str]]:
    found: tuple[Claim, ...] = claims_in(SUPPER, transcript, place(SUPPER, transcript))
    return sorted((c.kind, c.subject.split(" (")[-1], c.verdict) for c in found)


ORDINARY = read_transcript(TALK.encode(), "cut.txt")
FAULTY = read_transcript(TALK.replace("twenty grams of wholegrain", "fifty grams of wholegrain").encode(), "cut.txt")


@pytest.mark.parametrize("transcript", [ORDINARY, FAULTY], ids=["faultless", "one said wrongly"])
@pytest.mark.parametrize("cues", ["a word", "five minutes"])
def test_cues_of_a_word_and_of_five_minutes_have_the_verdicts_of_ordinary_ones(
    transcript: Transcript, cues: str
) -> None:
    lines = words_of(transcript.lines) if cues == "a word" else in_long_cues(transcript.lines, 300_000)
    recut = Transcript(file="cut.txt", lines=tuple(lines), problems=())
    assert len(recut.lines) == (len(TALK.split()) - TALK.count("[") if cues == "a word" else 1) or transcript is FAULTY
    assert verdicts(recut) == verdicts(transcript)
    said = [c.said for c in claims_in(SUPPER, recut, place(SUPPER, recut))]
    assert all(3 <= len(words.split()) <= 30 for words in said), (
        said
    )  # what is quoted can be read, however long its cue is


def test_ten_hours_of_talk_take_twice_the_time_of_five() -> None:
    """Processor time; the talk is the example's, again and again."""
    lines = ORDINARY.lines
    length_ms = lines[-1].end_ms + 4000

    def took_s(hours: int) -> float:
        again = hours * 3_600_000 // length_ms
        said = tuple(
            SpokenLine(one.start_ms + n * length_ms, one.end_ms + n * length_ms, one.text, one.line)
            for n in range(again)
            for one in lines
        )
        transcript = Transcript(file="cut.txt", lines=said, problems=())
        start = time.process_time()
        claims_in(SUPPER, transcript, place(SUPPER, transcript))
        return time.process_time() - start

    took_s(1)  # tables and patterns are read
    assert took_s(10) < 2.8 * took_s(5)
