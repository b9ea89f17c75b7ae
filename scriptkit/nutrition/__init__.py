"""Macros of a dish, a portion and a meal: what is known, what is not, and one rounding for all of it."""
