"""Numbers and amounts as they are spoken, and the words of a line as a presenter reads them."""

from __future__ import annotations

import functools
import re
from fractions import Fraction

from scriptkit.measure.amounts import Amount, format_grams, parse_amount, printed
from scriptkit.measure.numbers import LARGEST, NUMBER, NotANumber, format_number, split_number
from scriptkit.measure.unit_table import in_the_table

ONES = [
    "nought",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
]
TENS = ["-", "-", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
_GROUPS = ((1_000_000, "million"), (1_000, "thousand"))
FRACTIONS = {
    Fraction(1, 2): "half", Fraction(1, 3): "a third", Fraction(2, 3): "two thirds", Fraction(1, 4): "a quarter",
    Fraction(3, 4): "three quarters", Fraction(1, 8): "an eighth", Fraction(3, 8): "three eighths",
    Fraction(5, 8): "five eighths", Fraction(7, 8): "seven eighths",
}  # fmt: skip
"""Parts that spoons and cups come in."""

_UNITS = {
    "leaf": ("leaf", "leaves"), "bunch": ("bunch", "bunches"), "pinch": ("pinch", "pinches"), "piece": ("", ""),
    "small": ("small", "small"), "medium": ("medium", "medium"), "large": ("large", "large"),
    "extra_large": ("extra large", "extra large"), "jumbo": ("jumbo", "jumbo"), "cubic_inch": ("cubic inch", "cubic inches"),
}  # fmt: skip
_BEFORE_THE_NAME = frozenset({"piece", "small", "medium", "large", "extra_large", "jumbo"})
"""Units that are no thing of their own: *four large eggs*, not *four large of egg*."""
_AFTER_THE_NAME = frozenset(
    {"bulb", "root", "fillet", "steak", "chop", "breast", "thigh", "drumstick", "wing", "spear", "pod", "stalk"}
)
"""*Two fennel bulbs*; of the others it is *two cloves of garlic*."""


def number_words(value: Fraction | int) -> str:
    """A figure as it is read aloud, in British English; what is not exact as the kitchen prints it.

    >>> number_words(320), number_words(Fraction(3, 2)), number_words(Fraction(9, 20))
    ('three hundred and twenty', 'one and a half', 'nought point four five')
    """
    exact = Fraction(value)
    whole, part = divmod(exact, 1)
    if whole > LARGEST:
        return " ".join(ONES[int(c)] for c in str(whole))
    if part in FRACTIONS:
        words = FRACTIONS[part]
        if not whole:
            return words
        return f"{_whole_words(whole)} and {'a half' if words == 'half' else words}"
    text = format_number(exact)
    digits, _, decimals = text.partition(".")
    words = _whole_words(int(digits))
    return f"{words} point {' '.join(ONES[int(c)] for c in decimals)}" if decimals else words


def _whole_words(value: int) -> str:
    parts = []
    for size, name in _GROUPS:
        count, value = divmod(value, size)
        if count:
            parts.append(f"{_under_thousand(count)} {name}")
    if value or not parts:
        last = _under_thousand(value)
        parts.append(f"and {last}" if parts and value < 100 else last)
    return " ".join(parts)


def _under_thousand(value: int) -> str:
    if value >= 1000:  # only of millions: a thousand million
        return _whole_words(value)
    hundreds, rest = divmod(value, 100)
    tens, ones = divmod(rest, 10)
    small = ONES[rest] if rest < 20 else TENS[tens] + (f"-{ONES[ones]}" if ones else "")
    if not hundreds:
        return small
    return f"{ONES[hundreds]} hundred" + (f" and {small}" if rest else "")


def unit_words(unit: str, *, several: bool) -> str:
    """``tablespoon`` or ``tablespoons``; a metric cup is a cup to the ear."""
    name = unit.removeprefix("metric_").removeprefix("australian_").replace("_", " ")
    one, many = _UNITS.get(unit) or ((name, f"{name}s") if in_the_table(unit) else printed(unit))
    return many if several else one


def amount_words(amount: Amount) -> str:
    """``two tablespoons``, ``a quarter of a teaspoon``, ``one and a half cups``, ``three``, ``two medium``.

    >>> amount_words(parse_amount("1/4 tsp")), amount_words(parse_amount("½ oz")), amount_words(parse_amount("1.2 l"))
    ('a quarter of a teaspoon', 'half an ounce', 'one point two litres')
    """
    return _counted(amount.value, unit_words(amount.unit, several=False), unit_words(amount.unit, several=True))


def _counted(value: Fraction, one: str, several: str) -> str:
    number = number_words(value)
    if value in FRACTIONS:
        if not one:
            return number
        article = "an" if one[0] in "aeiou" else "a"
        return f"{number} {article} {one}" if number == "half" else f"{number} of {article} {one}"
    return f"{number} {one if value == 1 else several}".strip()


def amount_and_name(amount: Amount, name: str) -> str:
    """The amount and what it is of, as a cook says it.

    >>> amount_and_name(parse_amount("2 tbsp"), "butter"), amount_and_name(parse_amount("4 large"), "egg")
    ('two tablespoons of butter', 'four large eggs')
    >>> amount_and_name(parse_amount("2 bulbs"), "fennel"), amount_and_name(parse_amount("1/2"), "lemon")
    ('two fennel bulbs', 'half a lemon')
    """
    unit = amount.unit
    if unit in _BEFORE_THE_NAME:
        size = unit_words(unit, several=False)
        return _counted(amount.value, f"{size} {name}".strip(), f"{size} {plural(name)}".strip())
    one, several = unit_words(unit, several=False), unit_words(unit, several=True)
    if name.casefold().endswith((one, several)):  # *fennel bulb: 2 bulbs*
        stem = name[: -len(several if name.casefold().endswith(several) else one)]
        return _counted(amount.value, stem + one, stem + several)
    if unit in _AFTER_THE_NAME:
        return _counted(amount.value, f"{name} {one}", f"{name} {several}")
    return f"{amount_words(amount)} of {name}"


def stands_before_the_name(amount: Amount) -> bool:
    """Whether the amount is said without *of*: ``three``, ``two medium``."""
    return amount.unit in _BEFORE_THE_NAME


_OWN_PLURAL = re.compile(r"(?:[^s]s|ed|ing|fish|hake|cod|rice|oil)$", re.IGNORECASE)


def plural(name: str) -> str:
    """Of a kitchen word; one that looks like a plural already stays.

    >>> [plural(w) for w in ("egg", "tomato", "radish", "bay leaf", "cherry", "capers")]
    ['eggs', 'tomatoes', 'radishes', 'bay leaves', 'cherries', 'capers']
    """
    if not name or _OWN_PLURAL.search(name):
        return name
    for ending, instead in (("leaf", "leaves"), ("loaf", "loaves"), ("half", "halves")):
        if name.endswith(ending):
            return name.removesuffix(ending) + instead
    if re.search(r"[^aeiou]y$", name):
        return name[:-1] + "ies"
    return name + ("es" if name.endswith(("ato", "go", "s", "x", "ch", "sh")) else "s")


def gram_amount(grams: float) -> Amount | None:
    """Grams as the card prints them, ``602 g`` or ``1.25 kg``; None for less than a scale shows. Raises NotAnAmount over
    ``LARGEST`` kg."""
    text = format_grams(grams)
    return None if grams < 0.05 else parse_amount(text)


# --- the words of a line ----------------------------------------------------------------------------------------------

_ASIDE = re.compile(r"\[[^\[\]]*\]")
_THOUSANDS = re.compile(r"(?<=\d),(?=\d{3}(?!\d))")
_FIGURE = re.compile(NUMBER)
_SIGNS = {"°C": " degrees", "°F": " degrees Fahrenheit", "°": " degrees", "%": " per cent", "&": " and ", "×": " by ", "=": " equals "}  # fmt: skip
_WORD = re.compile(r"[^\W_]+(?:['’.-][^\W_]+)*")


def spoken_words(text: str) -> list[str]:
    """The words that are heard, figures as they are read out; what stands in square brackets is not spoken.

    >>> spoken_words("On the scale: 320 g. [smile]")
    ['On', 'the', 'scale', 'three', 'hundred', 'and', 'twenty', 'g']
    """
    return list(_spoken(text))


@functools.lru_cache(maxsize=1024)
def _spoken(text: str) -> tuple[str, ...]:
    plain = _THOUSANDS.sub("", _ASIDE.sub(" ", text))
    for sign, words in _SIGNS.items():
        plain = plain.replace(sign, words)
    return tuple(_WORD.findall(_FIGURE.sub(lambda found: f" {_figure_words(found.group())} ", plain)))


def _figure_words(figure: str) -> str:
    try:
        value, _ = split_number(figure)
    except NotANumber:
        return " ".join(ONES[int(c)] for c in figure if c in "0123456789")
    return number_words(value)


def difference_words(percent: int) -> str:
    """How far an amount is from the recipe's, by its difference in percent: ``8% less than the recipe``; from nine tenths more
    in whole multiples, ``about twice the recipe's amount``."""
    if percent >= 90:
        times = round(percent / 100) + 1
        return f"about {'twice' if times == 2 else f'{times} times'} the recipe's amount"
    return f"{abs(percent)}% {'more' if percent > 0 else 'less'} than the recipe"
