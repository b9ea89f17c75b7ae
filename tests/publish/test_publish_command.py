"""`scriptkit publish`, and the keys of the file that it reads."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess

import pytest
from conftest import EXAMPLES, Table
from messages import kinds

from scriptkit.measure.durations import parse_moment

Run = Callable[..., CompletedProcess[str]]

FILES = [
    "description.txt", "files/chapters.vtt", "files/recipe.jsonld", "pinned-comment.txt", "publish.html", "recipe-card.html",
]  # fmt: skip
SUPPER = str(EXAMPLES / "harbour-supper.yaml")
BISQUE = str(EXAMPLES / "fennel-bisque.yaml")


def test_the_files_and_that_chapters_are_planned(run: Run, tmp_path: Path) -> None:
    done = run("publish", SUPPER, "-o", "out")
    assert done.returncode == 0, done.stderr
    assert sorted(p.relative_to(tmp_path / "out").as_posix() for p in (tmp_path / "out").rglob("[!.]*.*")) == FILES
    assert "note planned" in kinds(done.stderr)
    assert all(name in done.stdout for name in FILES)


def test_the_same_files_as_in_the_pack(run: Run, tmp_path: Path) -> None:
    assert run("pack", BISQUE, "-o", "pack").returncode == 0
    assert run("publish", BISQUE, "-o", "out").returncode == 0
    for name in set(FILES) - {"publish.html"}:  # its tabs lead to what there is
        assert (tmp_path / "out" / name).read_bytes() == (tmp_path / "pack" / name).read_bytes()


def test_servings_as_json(run: Run) -> None:
    done = run("publish", BISQUE, "--servings", "10", "-o", "out", "--json")
    told = json.loads(done.stdout)
    assert told["servings"] == 10
    assert told["files"] == [
        "publish.html", "recipe-card.html", "description.txt", "pinned-comment.txt", "files/chapters.vtt", "files/recipe.jsonld",
    ]  # fmt: skip
    assert told["chapters"][0] == {"start_s": 0.0, "name": "The finished dish"}
    assert "scaled" in {p["code"] for p in told["problems"]}


@pytest.mark.parametrize("wrong", ["0", "-3", "100000", "nan", "inf"])
def test_servings_that_cannot_be_made(wrong: str, run: Run, tmp_path: Path) -> None:
    done = run("publish", BISQUE, "--servings", wrong, "-o", "out")
    assert done.returncode == 2
    assert "cannot be made" in done.stderr
    assert not (tmp_path / "out").exists()


def test_a_meal_is_made_for_whole_plates(run: Run) -> None:
    done = run("publish", SUPPER, "--servings", "2.5", "-o", "out")
    assert done.returncode == 2
    assert "2.5 plates cannot be made" in done.stderr
    assert run("publish", SUPPER, "--servings", "2", "-o", "out").returncode == 0


def test_chapters_from_a_cut_file(run: Run, table: Table) -> None:
    """A transcript of the narration, word for word: the steps are heard where they are spoken."""
    lines = [
        ("00:00:21.000", "00:00:27.000", "Even dice, fifteen millimetres, so that it all softens in the same minute."),
        ("00:00:41.000", "00:00:44.000", "The fennel is sliced across the grain."),
        ("00:01:02.000", "00:01:05.000", "Chives go on last, so they are chopped last."),
        ("00:01:30.000", "00:01:40.000", "In go two tablespoons of butter, and the fennel. Seven minutes, soft and glossy, no colour."),
        ("00:02:10.000", "00:02:20.000", "All of the celeriac, then the fish stock. Eighteen minutes at a lazy simmer, until a knife slides in."),
        ("00:03:40.000", "00:03:50.000", "The cream, the last of the butter, and wholegrain mustard. Taste, then salt."),
        ("00:04:20.000", "00:04:23.000", "Three hundred and twenty grams a bowl, on the scale."),
    ]  # fmt: skip
    vtt = "WEBVTT\n\n" + "\n\n".join(f"{a} --> {b}\n{text}" for a, b, text in lines) + "\n"
    done = run("publish", BISQUE, "--cut", table.write("cut.vtt", vtt), "-o", "out", "--json")
    assert done.returncode in (0, 1), done.stderr
    told = json.loads(done.stdout)
    assert "planned" not in {p["code"] for p in told["problems"]}
    starts = {c["name"]: c["start_s"] for c in told["chapters"]}
    assert starts["Opening"] == 0
    assert 80 <= starts["Soften the fennel"] <= 100
    assert starts["Stir in the cream, butter and mustard"] > starts["Soften the fennel"]


def test_what_cannot_be_read_leaves_nothing(run: Run, tmp_path: Path) -> None:
    for arguments in (
        ("publish", "none.yaml", "-o", "out"),
        ("publish", BISQUE, "--cut", "none.vtt", "-o", "out"),
        ("publish", BISQUE, "--templates", "none", "-o", "out"),
        ("publish", str(EXAMPLES / "faulty-chowder.yaml"), "-o", "out"),
    ):
        assert run(*arguments).returncode == 2
        assert not (tmp_path / "out").exists()


def test_own_templates(run: Run, table: Table, tmp_path: Path) -> None:
    (tmp_path / "own").mkdir()
    table.write("own/description.txt", "{{ description.title }} <b>: {{ description.chapters|length }} chapters")
    assert run("publish", BISQUE, "--templates", str(tmp_path / "own"), "-o", "out").returncode == 0
    assert (tmp_path / "out" / "description.txt").read_text(
        encoding="utf-8"
    ) == "Fennel and celeriac bisque <b>: 8 chapters"


# --- keys ------------------------------------------------------------------------------------------------------------


def test_wrong_addresses_dates_and_moments_are_told_at_their_place(table: Table) -> None:
    reading = table.read(
        """\
        dish: Broth
        links: [{to: example.org, text: No scheme}, {to: "javascript:alert(1)"}]
        video: {url: "https://exa mple.org", uploaded: May 2026, picture: "https://example.org/<p>"}
        corrections: [{text: Right, at: soon}]
        servings: 1
        ingredients: {leek: 50 g}
        steps: [{stage: cook, do: Stir., add: leek}]
        """
    )
    assert [(p.place.line, p.code) for p in reading.problems if p.severity == "error"] == [
        (2, "link"), (2, "link"), (3, "link"), (3, "date"), (3, "link"), (4, "duration")
    ]  # fmt: skip
    assert all(p.hint for p in reading.problems)


def test_moments_of_a_video() -> None:
    assert [parse_moment(text) for text in ("0:00", "59:59", "1:00:00", "2:05.5", "90", "1:60", "1:61:00", "-1:00", "")] == [
        0, 3_599_000, 3_600_000, 125_500, None, None, None, None, None,
    ]  # fmt: skip


def test_what_the_cut_says_wrongly_is_told_before_it_is_published(run: Run, tmp_path: Path) -> None:
    cut = (EXAMPLES / "harbour-supper-cut.srt").read_text(encoding="utf-8")
    wrong = cut.replace("twenty grams of wholegrain mustard", "forty grams of wholegrain mustard")
    assert wrong != cut
    (tmp_path / "cut.srt").write_text(wrong, encoding="utf-8")
    done = run(
        "publish",
        str(EXAMPLES / "harbour-supper.yaml"),
        "--cut",
        str(tmp_path / "cut.srt"),
        "-o",
        str(tmp_path / "out"),
    )
    assert "spoken-amount" in done.stderr
