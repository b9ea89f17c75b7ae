"""What a stranger types and taps: a command as it is meant and with a slip of the hand, a tap of the stage page."""

from __future__ import annotations

import random
import re
from typing import Any

DISHES = ("harbour-supper.yaml", "fennel-bisque.yaml", "seared-hake.yaml", "lemon-thighs.yaml")
GIVEN = (*DISHES, "harbour-supper-takes.csv", "harbour-supper-cut.srt", "harbour-supper-rough-cut.srt")
OWN = {
    "notes.txt": "mine\n",
    "transcript.srt": "1\n00:00:01,000 --> 00:00:02,000\nSoften the fennel in butter.\n",
    "out/report.txt": "mine\n",
    "page.txt": "Leek soup\n\nServes 4\n\n2 leeks\na knob of butter\n500 ml stock\n\nSoften the leeks in the butter. Add the stock and simmer for 20 minutes.\n",
}
FILES = (
    "overlays.vtt",
    "transcript.srt",
    "notes.txt",
    "out/report.txt",
    "new.srt",
    "harbour-supper-cut.srt",
    "x/y.ass",
    "seared-hake.yaml",
)
FOLDERS = ("out", "out/inner", "papers", "notes.txt", ".", "x", "day")
Shot = tuple[str, str, list[str]]
"""The slate of a shot, its key, and what goes in."""
SLIPS = "abcxyz0189.,:;=-_ '\"éß½\t\\*%#@&|<>{}[]()"


def a_command(chance: random.Random) -> list[str]:
    """One as a person would type it."""
    pick = chance.choice
    dish = pick([*DISHES, "soup.yaml", "leek-soup.yaml"])
    cut, log = (
        ["--cut", "harbour-supper-cut.srt"],
        ["--log", pick(["harbour-supper-takes.csv", "day/harbour-supper-takes.csv"])],
    )
    return pick(
        [
            ["check", dish], ["check", dish, "--explain"], ["check", "."], ["macros", dish], ["schedule", dish, "--serve", "18:30"], ["buying", *DISHES[:2]],
            ["food", "butter"], ["portion", "harbour-supper.yaml", "--at-most", "net_carbs_g=12"], ["pair", dish, "--with", "."],
            ["shoot", dish, "-o", pick(FOLDERS)], ["pack", dish, *pick([[], cut, log]), "-o", pick(FOLDERS)], ["publish", dish, *pick([[], cut]), "-o", pick(FOLDERS)],
            ["captions", dish, *pick([[], cut, ["--spoken", "transcript.srt"]]), "-o", pick(FILES)], ["captions", dish, "-o", pick(FILES), "--cards", pick(FOLDERS)],
            ["overlays", dish, "--as", "none", "-o", pick(FOLDERS)], ["proof", pick(FILES), "--fix", pick(FILES)], ["proof", "harbour-supper-cut.srt", "--recipe", dish],
            ["conform", pick(FILES), "--offset", "1.5", "-o", pick(FILES)], ["paper-edit", "harbour-supper.yaml", *log, "-o", pick(FOLDERS)],
            ["coverage", "harbour-supper.yaml", *pick([cut, log, ["--transcript", "harbour-supper-cut.srt"]]), "-o", pick(FOLDERS)],
            ["coverage", "harbour-supper.yaml", "--transcript", "harbour-supper-cut.srt", "--accept", pick(["all", "2:05=recipe", "capers", "capers=unfilmed"])],
            ["new", pick(["Quay soup", "Soup"]), *pick([[], ["-o", pick([*FILES, "soup.yaml"])]])], ["new", "--from", "page.txt", *pick([[], ["-o", pick([*FILES, "draft.yaml"])]])],
            ["new", "--example", pick(["list", "seared-hake", "all"])], ["new", "Quay plate", "--dish", dish], ["schema", "meal"],
            ["confirm", pick([dish, "leek-soup.yaml", "draft.yaml"]), "--json"], ["confirm", pick(["leek-soup.yaml", "draft.yaml"]), "--answers", "answers.json"],
        ]
    )  # fmt: skip


def slipped(chance: random.Random, words: list[str]) -> list[str]:
    """The words with a slip of the hand."""
    words = list(words)
    at = chance.randrange(len(words))
    word, place = words[at], chance.randrange(len(words[at]) + 1)
    kind = chance.randrange(10)
    if kind == 0:
        del words[at]
    elif kind == 1:
        words.insert(at, word)
    elif kind == 2 and at:
        words[at - 1], words[at] = word, words[at - 1]
    elif kind == 3:
        words.insert(
            at, chance.choice(["", "-", "--", "-x", "--force", "--json", "é", "harbour", "-o", "--quiet", "all", "."])
        )
    elif kind == 4 and at:
        words[at - 1 : at + 1] = [words[at - 1] + chance.choice(["", "=", " "]) + word]
    else:
        slip = chance.choice(SLIPS)
        done = [
            word[:place] + word[place + 1 :],
            word[:place] + slip + word[place:],
            word[:place] + slip + word[place + 1 :],
            word[:place] + word[place:].swapcase(),
        ]
        words[at] = chance.choice(done)
    return words


def stays_here(words: list[str]) -> bool:
    """Whether no word leads out of the folder: the stranger is clumsy, and no more."""
    return not any(re.search(r"(^|=|^-o)\s*[/~]|(^|[/\\=])\.\.([/\\]|$)", word) for word in words) and not any(
        "\0" in w for w in words
    )


def a_tap(chance: random.Random, n: int, shots: list[Shot], earlier: list[str]) -> dict[str, Any]:
    """The n-th tap of a device, of a shot or of an ``earlier`` one; now and then one that no page would send."""
    device = chance.choice(["cook", "helper"])
    tap: dict[str, Any] = {"id": f"{device}-{n}", "n": n, "d": device, "t": 1_791_193_276_000 + 1000 * n, "z": 0}
    slate, shot, names = chance.choice(shots)
    of = chance.choice(earlier or [tap["id"]])
    shown = {"s": shot, "l": slate, "a": names}
    tap |= chance.choice(
        [
            {"k": "roll", **shown}, {"k": "judge", "of": of, "v": chance.choice(["circled", "good", "no good"]), "card": "1", "clip": str(n), **shown},
            {"k": "judge", "v": "circled", "card": "A001", "clip": "", **shown}, {"k": "undo", "of": of}, {"k": "change", "of": of, "r": "a remark, “=1+1”"},
            {"k": "weigh", "of": f"{shot.rpartition(chr(9))[0]}\t{(names or ['x'])[0]}", "g": chance.choice([12.5, None, 800])},
            {"k": "timer", "of": shot, "op": "start", "ms": 60_000}, {"k": "card", "v": "2"}, {"k": "cover", "of": of, "a": names},
        ]
    )  # fmt: skip
    if chance.random() < 0.12:
        tap[chance.choice(sorted(tap))] = chance.choice([None, -1, "", [], {}, "x" * 3000, 10**20, "\ud800"])
    return tap
