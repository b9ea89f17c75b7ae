"""Plurals of kitchen words."""

from __future__ import annotations

import functools

_IRREGULAR = {
    "leaves": "leaf", "halves": "half", "loaves": "loaf", "knives": "knife", "calves": "calf", "chillies": "chilli",
    "chilies": "chili", "yogurt": "yoghurt", "yogurts": "yoghurt", "fiber": "fibre", "molasses": "molasses", "swiss": "swiss",
    "couscous": "couscous", "lemongrass": "lemongrass", "cookies": "cookie", "potatoes": "potato", "tomatoes": "tomato",
    "brioches": "brioche", "quiches": "quiche",
}  # fmt: skip


@functools.cache
def singular(word: str) -> str:
    """The singular of a kitchen word, so that ``tomatoes`` finds ``tomato``; a word that has none stays as it is."""
    if word in _IRREGULAR:
        return _IRREGULAR[word]
    if len(word) <= 3 or word.endswith(("ss", "us")) or not word.endswith("s"):
        return word
    if word.endswith("ies") and len(word) > 4:
        return word[:-3] + "y"
    if word.endswith(("oes", "ches", "shes", "xes", "sses")):
        return word[:-2]
    return word[:-1]
