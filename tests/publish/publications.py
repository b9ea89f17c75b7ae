"""What the tests of publishing share: a publication of an example or of a written dish."""

from __future__ import annotations

from conftest import EXAMPLES

from scriptkit.papers.files import publish_files
from scriptkit.publish.chapters import chapters_of_plan
from scriptkit.publish.publication import Publication, publication_of
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.plan import plan_of

GOOD = sorted(p for p in EXAMPLES.glob("*.yaml") if not p.name.startswith(("faulty", "pantry")))


def published(source: Dish | Meal, servings: float | None = None) -> Publication:
    return publication_of(source, chapters_of_plan(plan_of(source)), servings)


def of_example(name: str, servings: float | None = None) -> Publication:
    return published(read_source(str(EXAMPLES / name)).usable(), servings)


def files_of(source: Dish | Meal, servings: float | None = None) -> dict[str, str]:
    return publish_files(published(source, servings))[0]
