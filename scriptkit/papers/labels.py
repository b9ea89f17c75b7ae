"""Labels for the bowls: one each, eight to a sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.measure.unit_system import METRIC, US
from scriptkit.papers.mise_en_place import PlateRow, cut_text, plate_rows
from scriptkit.papers.timeline import SHAPES
from scriptkit.recipe.on_plates import OnPlate
from scriptkit.shoot.mise_en_place import Bowl, Tray

LABELS_A_SHEET = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetSize:
    """A sheet of labels: its name and size in CSS, how much of its height they cover, and a label's width and height in millimetres."""

    name: str
    css: str
    label: str
    width_mm: float
    height_mm: float


A4 = SheetSize(name="an A4", css="A4", label="105 × 74 mm", width_mm=105, height_mm=74)
"""ISO 216."""
LETTER = SheetSize(name="a letter", css="letter", label="4 1/4 × 2 3/4 in", width_mm=107.95, height_mm=69.6)
"""8.5 by 11 inches (ANSI/ASME Y14.1), which a kitchen of US units prints on; a hair is left, so that no empty sheet follows."""

# Letters of a text up to which it is set in a size, so that a label holds it: names in labels.html.
_ITEM_FITS = ((14, "large"), (32, "medium"), (64, "small"))
_CUT_FITS = ((48, "medium"), (130, "small"))
_CROWDED = 240
"""More letters than this on one label, and all of it is set close."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A bowl's label, with the shape of its dish; ``…_fits`` are the sizes in which its texts are set, ``crowded`` whether all of it is set close."""

    crowded: bool
    shape: str
    dish_number: int
    dish: str
    dish_fits: str
    bowl: str
    of: str
    step: str
    stage: str
    item: str
    item_fits: str
    grams: str
    household: str
    cut: str
    cut_fits: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Labels:
    """The values of labels.html: ``labels`` counts them, ``paper`` is what they are printed on."""

    sheets: tuple[tuple[Label, ...], ...]
    labels: int
    paper: SheetSize


def labels_of(trays: Sequence[Tray], on_plates: Sequence[OnPlate] = (), units: str = METRIC) -> Labels:
    """One label for each bowl, tray by tray in order of use; last those of what goes on the plates beside the dishes."""
    found = [_label(tray, bowl, n % len(SHAPES)) for n, tray in enumerate(trays) for bowl in tray.bowls]
    found += [_plate_label(row, n, len(on_plates)) for n, row in enumerate(plate_rows(on_plates), 1)]
    sheets = [tuple(found[n : n + LABELS_A_SHEET]) for n in range(0, len(found), LABELS_A_SHEET)]
    return Labels(sheets=tuple(sheets), labels=len(found), paper=LETTER if units == US else A4)


def _label(tray: Tray, bowl: Bowl, dish_number: int) -> Label:
    item, cut = bowl.addition.ingredient.display_name, cut_text(bowl, tray.dish)
    return Label(
        crowded=len(tray.dish.short) + len(item) + len(cut) > _CROWDED,
        shape=SHAPES[dish_number],
        dish_number=dish_number,
        dish=tray.dish.short,
        dish_fits=_fits(tray.dish.short, _CUT_FITS),
        bowl=str(bowl.number),
        of=str(len(tray.bowls)),
        step=str(bowl.step.number),
        stage=bowl.step.stage,
        item=item,
        item_fits=_fits(item, _ITEM_FITS),
        grams=bowl.grams,
        household=bowl.household,
        cut=cut,
        cut_fits=_fits(cut, _CUT_FITS),
    )


def _plate_label(row: PlateRow, number: int, of: int) -> Label:
    return Label(
        crowded=False, shape="", dish_number=len(SHAPES), dish="on the plates", dish_fits="large", bowl=str(number), of=str(of), step="",
        stage=row.how, item=row.item, item_fits=_fits(row.item, _ITEM_FITS), grams=row.each, household=row.whole, cut="", cut_fits="large",
    )  # fmt: skip


def _fits(text: str, sizes: Sequence[tuple[int, str]]) -> str:
    return next((name for most, name in sizes if len(text) <= most), "tiny")
