"""Changes of a file's text, one by one: before, the change, after."""

from __future__ import annotations

import textwrap

import pytest

from scriptkit.problems import CannotDo, Problem
from scriptkit.recipe.file_edit import Add, Append, Delete, Edit, Put, Rename, edited
from scriptkit.recipe.yamltree import parse_tree

BEFORE = """\
# A sauce of the quay.
dish: 'Mustard sauce'
cooked_weight: 1.92 kg           # the pot on the scale
served: hot # or warm

ingredients:
  butter:    {amount: 30 g, food: "butter, unsalted"}   # the good one
  fish cake: 2
  salt:      to taste
  # what is left of the soup
  cream:
    amount: 120 ml     # single
    unsure:            # from a photo
      food: 0.5
      amount: 0.4
steps:
  - id: melt
    # gently
    do: |
      Melt the butter.
    uses: butter
    tools: [pan,
            spoon]     # a wooden one
  -
    do: Stir.
"""
CASES: dict[str, tuple[Edit, str, str]] = {
    "a text, its quotes kept": (Put(("dish",), "Harbour sauce"), "dish: 'Mustard sauce'", "dish: 'Harbour sauce'"),
    "a text with a quote in it": (Put(("dish",), "Cook's sauce"), "dish: 'Mustard sauce'", "dish: 'Cook''s sauce'"),
    "a comment keeps its column": (Put(("cooked_weight",), "2 kg"), "1.92 kg           #", "2 kg              #"),
    "a comment right behind it": (Put(("served",), "cold"), "hot #", "cold #"),
    "what needs quotes gets them": (Put(("served",), "hot: at once"), "served: hot", 'served: "hot: at once"'),
    "what would be no text gets quotes": (Put(("served",), "~"), "served: hot", 'served: "~"'),
    "a figure": (Put(("ingredients", "fish cake"), 3), "fish cake: 2", "fish cake: 3"),
    "in brackets": (Put(("ingredients", "butter", "amount"), "25 g"), "{amount: 30 g", "{amount: 25 g"),
    "a bare amount becomes a mapping": (
        Add(("ingredients", "salt"), "unsure", {"amount": 0.5}, short_for="amount"),
        "  salt:      to taste",
        "  salt:      {amount: to taste, unsure: {amount: 0.5}}",
    ),
    "to taste becomes an amount": (
        Put(("ingredients", "salt"), {"amount": "5 g"}), "  salt:      to taste", "  salt:      {amount: 5 g}",
    ),
    "a mapping becomes a bare amount": (
        Put(("ingredients", "butter"), "30 g"),
        '{amount: 30 g, food: "butter, unsalted"}   # the',
        "30 g                                       # the",
    ),
    "a key in brackets": (
        Add(("ingredients", "butter"), "pack", "250 g", after="amount"),
        '30 g, food: "butter, unsalted"}   #',
        '30 g, pack: 250 g, food: "butter, unsalted"} #',
    ),
    "a key in its column": (
        Add(("ingredients",), "leek", "1", after="butter"), "# the good one\n", "# the good one\n  leek:      1\n",
    ),
    "a key after a mapping of lines": (
        Add(("ingredients", "cream"), "prep", "whipped"), "      amount: 0.4\n", "      amount: 0.4\n    prep: whipped\n",
    ),
    "a key taken out of brackets": (
        Delete(("ingredients", "butter", "amount")),
        '{amount: 30 g, food: "butter, unsalted"}   #',
        '{food: "butter, unsalted"}                 #',
    ),
    "the last key taken out of brackets": (
        Delete(("ingredients", "butter", "food")), ', food: "butter, unsalted"}   #', "}                             #",
    ),
    "a mapping of lines taken out with its comments": (
        Delete(("ingredients", "cream", "unsure")),
        "    unsure:            # from a photo\n      food: 0.5\n      amount: 0.4\n",
        "",
    ),
    "the first key of an item": (Delete(("steps", 0, "id")), "  - id: melt\n", "  -\n"),
    "the only key of an item": (Delete(("steps", 1, "do")), "  -\n    do: Stir.\n", "  - {}\n"),
    "an item": (Delete(("steps", 1)), "  -\n    do: Stir.\n", ""),
    "another name": (Rename(("ingredients", "fish cake"), "cake"), "  fish cake: 2", "  cake:      2"),
    "an item more in brackets": (Append(("steps", 0, "tools"), "lid"), "spoon]     #", "spoon, lid] #"),
    "an item taken out of brackets": (Delete(("steps", 0, "tools", 0)), "[pan,\n            spoon]", "[\n            spoon]"),
    "a list of one grows": (Append(("steps", 0, "uses"), "salt"), "uses: butter", "uses: [butter, salt]"),
    "a text of lines": (Put(("steps", 0, "do"), "Melt it.\nWait.\n"), "      Melt the butter.\n", "      Melt it.\n      Wait.\n"),
    "a step more": (
        Append(("steps",), {"id": "serve", "do": "Serve."}), "    do: Stir.\n", "    do: Stir.\n  - {id: serve, do: Serve.}\n",
    ),
    "a long step more": (
        Append(("steps",), {"id": "serve", "do": "Serve it in the warm jug " * 5 + "now.", "tools": ["jug"]}),
        "    do: Stir.\n",
        f"    do: Stir.\n  - id: serve\n    do: {'Serve it in the warm jug ' * 5}now.\n    tools: [jug]\n",
    ),
    "only what differs": (
        Put(("ingredients", "cream"), {"amount": "100 ml", "unsure": {"food": 0.5, "amount": 0.4}}),
        "120 ml     # single",
        "100 ml     # single",
    ),
    "a mapping of lines becomes a text": (
        Put(("ingredients", "cream", "unsure"), "no"),
        "    unsure:            # from a photo\n      food: 0.5\n      amount: 0.4\n",
        "    unsure: no            # from a photo\n",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", sorted(CASES))
@pytest.mark.parametrize("line_break", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
@pytest.mark.parametrize("end", ["\n", ""])
def test_a_change_changes_its_lines_alone(name: str, line_break: str, mark: str, end: str) -> None:
    edit, old, new = CASES[name]
    assert BEFORE.count(old) == 1
    before = mark + (BEFORE.rstrip("\n") + end).replace("\n", line_break)
    after = mark + (BEFORE.replace(old, new).rstrip("\n") + end).replace("\n", line_break)
    assert edited(before, [edit], "f.yaml") == after


def told(text: str, *edits: Edit) -> Problem:
    with pytest.raises(CannotDo) as wrong:
        edited(textwrap.dedent(text), edits, "f.yaml")
    (problem,) = wrong.value.problems
    assert "f.yaml" in wrong.value.lines
    return problem


def test_changes_follow_one_another_and_none_is_made_where_one_cannot() -> None:
    assert edited("a: [x]\n", [Append(("a",), "y"), Delete(("a", 0)), Rename(("a",), "b")], "f.yaml") == "b: [y]\n"
    problem = told("a: 1\nb: 2\n", Put(("a",), "3"), Put(("c", "d"), "4"))
    assert problem.message == "this cannot be changed here safely: there is no `c: d` here"
    assert problem.hint == "write `c: d` by hand: 4"


ANCHORED = """\
a: &x {k: 1}
b: *x
c: &y 5
"""


@pytest.mark.parametrize(
    ("edit", "line", "words"),
    [
        (Put(("a", "k"), "2"), 1, "more than this would change"),
        (Add(("a",), "n", "2"), 1, "more than this would change"),
        (Delete(("a",)), 1, "an anchor (&) or a tag (!) stands here"),
        (Put(("b", "k"), "2"), 1, "an alias (*) repeats it here"),
        (Put(("c",), "6"), 3, "an anchor (&) or a tag (!) stands here"),
    ],
)
def test_what_reaches_further_by_an_anchor_is_refused_at_its_place(edit: Edit, line: int, words: str) -> None:
    problem = told(ANCHORED, edit)
    assert (problem.code, problem.place.line) == ("cannot-edit", line)
    assert words in problem.message
    assert problem.hint.startswith(("write `", "delete `"))


def test_an_alias_itself_can_be_replaced() -> None:
    assert edited(ANCHORED, [Put(("b",), {"k": "2"})], "f.yaml") == ANCHORED.replace("*x", "{k: 2}")


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("a: 1\na: 2\n", "duplicate-key"), ("a: 1\n---\na: 2\n", "yaml"), ("a:\n\tb: 1\n", "yaml"), ("a: !odd 1\n", "yaml"),
        ("a: [1\n", "yaml"),
    ],
)  # fmt: skip
def test_a_file_with_faults_of_form_is_refused_with_them(text: str, code: str) -> None:
    assert told(text, Put(("a",), "3")).code == code


@pytest.mark.parametrize(
    ("text", "edit", "words"),
    [
        ("a: 1\n", Add((), "a", "2"), "“a” stands there already"),
        ("a: 1\nb: 2\n", Rename(("a",), "b"), "“b” stands there already"),
        ("a: 1\n", Add((), "b", "2", after="c"), "there is no “c” to put it after"),
        ("a: 1\n", Add(("a",), "b", "2"), "there is no group of `key: value` here"),
        ("a: {b: 1}\n", Append(("a",), "2"), "there is no list here"),
        ("a: [1]\n", Delete(("a", 1)), "there is no `a: 2` here"),
        ("a: [1]\n", Rename(("a", 0), "x"), "an item of a list has no name"),
        ("a: 1\n", Delete(("a",)), "nothing would be left in the file"),
        ("? a\n: 1\n? b\n: 2\n", Delete(("a",)), "a key is set apart by a question mark"),
        ("a:\n  # why\n  b: 1 # how\nc: 2\n", Delete(()), "the whole file cannot be deleted"),
        ("", Put((), {"a": "1"}), "the file is empty"),
    ],
)
def test_what_cannot_be_done_says_why(text: str, edit: Edit, words: str) -> None:
    assert words in told(text, edit).message


@pytest.mark.parametrize(
    ("text", "edit", "after"),
    [
        ("a:\nb: 1\n", Put(("a",), "2"), "a: 2\nb: 1\n"),
        ("a: # c\n", Put(("a",), "2"), "a: 2 # c\n"),
        ("- x\n-\n", Put((1,), "2"), "- x\n- 2\n"),
        ("{a, b: }\n", Put(("a",), "2"), "{a: 2, b: }\n"),
        ("{a, b: }\n", Put(("b",), "2"), "{a, b: 2 }\n"),
        ("{}\n", Add((), "a", "1"), "{a: 1}\n"),
        ("a: [ ]\n", Append(("a",), "1"), "a: [1]\n"),
        ("a:\n", Add(("a",), "b", "1"), "a: {b: 1}\n"),
        ("a:\n- x\n- y\nb: 1\n", Append(("a",), "z"), "a:\n- x\n- y\n- z\nb: 1\n"),
        ("a:\n- - x\n  - y\n", Delete(("a", 0, 0)), "a:\n- - y\n"),
        ("a:\n- x # c\n", Delete(("a", 0)), "a: []\n"),
        ("a: [\n  x, # c\n  y  # d\n]\n", Append(("a",), "z"), "a: [\n  x, # c\n  y,  # d\n  z\n]\n"),
        ("a: [\n  x, # c\n  y, # d\n]\n", Append(("a",), "z"), "a: [\n  x, # c\n  y, # d\n  z,\n]\n"),
        ("a: [\n  x, # c\n  y  # d\n]\n", Delete(("a", 1)), "a: [\n  x, # c\n     # d\n]\n"),
        ("a: |+\n  x\n\nb: 1\n", Add((), "c", "2", after="a"), "a: |+\n  x\n\nc: 2\nb: 1\n"),
        ("---\na: 1\n...\n", Add((), "b", "2"), "---\na: 1\nb: 2\n...\n"),
        ("a: 1\nb: 2", Delete(("b",)), "a: 1"),
        ("a: b\n   c # d\ne: 1\n", Put(("a",), "x"), "a: x # d\ne: 1\n"),
    ],
)
def test_other_ways_to_write_it(text: str, edit: Edit, after: str) -> None:
    assert edited(text, [edit], "f.yaml") == after


def test_a_list_in_brackets_that_grows_long_is_folded_and_its_comment_stays() -> None:
    text = "meal: x\ncorrections: [{text: a, at: 1:15}]   # told later\nservings: 2   # two\n"
    entries = [
        {"text": f"It takes {n} min here, not “twelve to fifteen minutes” as it is said.", "at": f"{n}:15"}
        for n in range(2, 6)
    ]
    new = edited(text, [Append(("corrections",), entry) for entry in entries], "x.yaml")
    assert max(map(len, new.splitlines())) <= 130
    assert new.splitlines()[-1] == "servings: 2   # two"
    assert new.count("# told later") == 1
    assert [one["at"] for one in parse_tree(new, "x.yaml").data["corrections"]] == [
        "1:15",
        "2:15",
        "3:15",
        "4:15",
        "5:15",
    ]
