"""Two dishes with the talk of a cook who does not read from the recipe, and cuts put together from their scenes.

A scene is what is said while one step is on screen. Scenes of one dish or of both are laid one after another in any order, some of
them left out, some shown again; each keeps its length.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from scriptkit.cut.placement import Cut
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import read_source

CHOPS = """
dish: Lamb chops with mint yoghurt
short: chops
servings: 2
keeps: 3 h
ingredients:
  lamb chops: {amount: 500 g, food: "lamb, loin chop"}
  yoghurt: {amount: 300 g, food: "yoghurt, plain"}
  garlic: 8 g
  cumin: to taste
  red onion: {amount: 120 g, food: onion}
  lemon juice: 1 tbsp
  oil: {amount: 1 tbsp, food: olive oil}
  mint: to taste
steps:
  - {id: marinate, stage: prep, do: "Turn the lamb chops in yoghurt, garlic and cumin and chill.", add: {yoghurt: 200 g, garlic: all, cumin: to taste, lamb chops: all}, vessel: bowl, hands: 5 min, wait: 2 h, screen: 22 s}
  - {id: pickle, stage: prep, do: Slice the red onion thinly and squeeze the lemon over it., add: {red onion: all, lemon juice: all}, vessel: small bowl, hands: 5 min, screen: 18 s}
  - {id: wipe, stage: prep, do: Wipe the marinade off., from: marinate, left_behind: {yoghurt: 60 %}, vessel: tray, hands: 3 min, screen: 14 s}
  - {id: sear, stage: cook, do: "Sear on a very hot griddle, three minutes a side.", from: wipe, add: {oil: all}, vessel: griddle, heat: high, hands: 6 min, screen: 24 s}
  - {id: rest, stage: cook, do: Rest under foil., from: sear, vessel: tray, hands: 1 min, wait: 5 min, screen: 12 s}
  - {id: sauce, stage: cook, do: Stir the chopped mint into the rest of the yoghurt., after: [], add: {yoghurt: 100 g, mint: to taste}, vessel: small bowl, hands: 3 min, screen: 16 s}
  - {id: plate, stage: cook, do: Plate on the onion with the sauce., from: [rest, pickle, sauce], vessel: plates, hands: 2 min, screen: 14 s}
"""
CRUMBLE = """
dish: Apple crumble
short: crumble
servings: 4
keeps: 3 h
ingredients:
  flour: {amount: 150 g, food: "wheat flour, white"}
  butter: {amount: 100 g, food: "butter, unsalted"}
  oats: {amount: 60 g, food: rolled oats}
  sugar: {amount: 90 g, food: "sugar, white"}
  apples: {amount: 800 g, food: "apple"}
  cinnamon: to taste
  cream: {amount: 150 ml, food: "cream, double"}
steps:
  - {id: rub, stage: prep, do: Rub the butter into the flour until it looks like crumbs., add: {butter: all, flour: all}, vessel: bowl, hands: 6 min, screen: 20 s}
  - {id: mix, stage: prep, do: Stir in the oats and most of the sugar., from: rub, add: {oats: all, sugar: 60 g}, vessel: bowl, hands: 2 min, screen: 10 s}
  - {id: peel, stage: prep, do: "Peel, core and chop the apples.", uses: apples, hands: 8 min, screen: 16 s}
  - {id: stew, stage: cook, do: Stew the apples with the rest of the sugar and the cinnamon until they soften., add: {apples: all, sugar: 30 g, cinnamon: to taste}, vessel: pot, heat: medium, hands: 2 min, wait: 8 min, screen: 20 s}
  - {id: fill, stage: cook, do: Tip into a baking dish and scatter the crumble over., from: [stew, mix], vessel: baking dish, hands: 3 min, screen: 14 s}
  - {id: bake, stage: cook, do: Bake until golden and bubbling., from: fill, vessel: baking dish, heat: oven 190 °C, hands: 1 min, wait: 35 min, screen: 14 s}
  - {id: whip, stage: cook, do: Whip the cream to soft peaks., after: [], add: {cream: all}, vessel: mixing bowl, hands: 3 min, screen: 12 s}
  - {id: serve, stage: cook, do: Serve warm with the cream., from: [bake, whip], vessel: bowls, hands: 2 min, screen: 12 s}
"""
SCENES = {
    "hello": "Good evening from the harbour kitchen. The rain is coming in sideways, so tonight we eat well and stay in.",
    "marinate": "Into a big bowl, four spoons of yoghurt. I grate two cloves of garlic straight over it. A good pinch of cumin. "
    "And then the lamb, roll it about until every bit is coated, and the bowl goes in the fridge for a couple of hours.",
    "pickle": "While that sits there, a red onion, sliced as thin as you dare. Half a lemon squeezed all over, and scrunch it up with your fingers.",
    "wipe": "Two hours later. Scrape most of the marinade off, wipe them down, kitchen paper is your friend, or it will burn.",
    "sear": "The griddle has been on full blast for five minutes, it is smoking hot. A film of oil on the meat, and down they go. "
    "Listen to that sear. Three minutes, do not touch them, then over onto the other side.",
    "rest": "Off they come, onto a warm tray, a sheet of foil over the top, and they rest for as long as it takes to make a sauce.",
    "sauce": "And the sauce is nothing at all. What is left of the yoghurt, a fistful of mint, chopped, stir it through.",
    "plate": "Two chops each, leaning on the pile of onion, and a big spoon of sauce on the plate next to them.",
    "rub": "Cold butter, in cubes, and plain flour. Rub it between your fingertips, lift it up and let it fall, until it looks like breadcrumbs.",
    "mix": "A couple of handfuls of oats for some crunch, and most of the sugar. Give it a stir.",
    "peel": "Now the apples. Peel them, cut out the core, and chop them into rough chunks. Do not be too neat about it.",
    "stew": "Into a pot they go with the last of the sugar and a shake of cinnamon. Lid on, medium heat, until the apples are soft but not mush.",
    "fill": "Tip all of that into your baking dish, spread it out, and scatter the crumble on top, right to the edges.",
    "bake": "It bakes in a hot oven for thirty five minutes. You want it golden, with the juice bubbling up at the sides.",
    "whip": "Meanwhile I whip some cream. Stop at soft peaks, it goes on thickening by itself.",
    "serve": "A big scoop of it, still warm, and cream on top. Serve it straight away.",
    "bye": "Thank you very much for watching. Mind how you go on the quay, and see you next week.",
}
"""What is said while each step is on screen, and before and after all of them."""
SECOND_S = 2.4
"""Words are said at this many in a second (common practice, no source)."""
PAUSE_S = 3


@dataclass(frozen=True, slots=True)
class Scene:
    """``shows`` a step's id, or "" where nothing of the recipe is on screen; ``words`` are said meanwhile."""

    shows: str
    words: str


def scene(name: str) -> Scene:
    return Scene("" if name in ("hello", "bye") else name, SCENES[name])


def cut_of(scenes: Sequence[Scene]) -> tuple[Transcript, dict[str, list[tuple[int, int]]]]:
    """The talk, and from when to when each step is on screen, in milliseconds, once for each time that it is shown."""
    lines: list[SpokenLine] = []
    seen: dict[str, list[tuple[int, int]]] = {}
    now = 1_000
    for one in scenes:
        start = now
        for sentence in one.words.replace(". ", ".|").split("|"):
            end = now + round(1000 * len(sentence.split()) / SECOND_S)
            lines.append(SpokenLine(now, end, sentence, len(lines) + 1))
            now = end
        now += PAUSE_S * 1000
        if one.shows:
            seen.setdefault(one.shows, []).append((start, now))
    return Transcript(file="cut.srt", lines=tuple(lines), problems=()), seen


def wrongly_placed(cut: Cut, seen: dict[str, list[tuple[int, int]]]) -> dict[str, int | None]:
    """Steps with a time (in s) outside all their scenes, and those that are shown and have none."""
    return {
        p.step.id: None if p.time_ms is None else p.time_ms // 1000
        for p in cut.placements
        if (p.time_ms is None) == (p.step.id in seen)
        or (p.time_ms is not None and not any(a <= p.time_ms <= b for a, b in seen.get(p.step.id, ())))
    }


def written(folder: Path) -> tuple[Dish, Dish, Meal]:
    """The chops, the crumble and the meal of both, read from files in the folder."""
    (folder / "chops.yaml").write_text(CHOPS, encoding="utf-8")
    (folder / "crumble.yaml").write_text(CRUMBLE, encoding="utf-8")
    (folder / "meal.yaml").write_text(
        "meal: Rainy evening\nplates: 2\ndishes:\n  - {dish: chops.yaml, portion: 1 serving}\n  - {dish: crumble.yaml, portion: 1 serving}\n",
        encoding="utf-8",
    )
    chops, crumble, meal = (read_source(str(folder / f"{n}.yaml")).usable() for n in ("chops", "crumble", "meal"))
    assert isinstance(chops, Dish) and isinstance(crumble, Dish) and isinstance(meal, Meal)
    return chops, crumble, meal
