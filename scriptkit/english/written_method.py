"""What the written method of somebody else's recipe tells: the number of a step, how long it waits, and *both flours*."""

from __future__ import annotations

import re
from collections.abc import Iterator

from scriptkit.english.time_words import A_SIDE
from scriptkit.measure.figures import MS, figures_in
from scriptkit.patterns import LazyPattern

LONGEST_MS = 7 * 86_400_000
_NUMBER = LazyPattern(
    r"^\s*(?:(?:step|part)\s*\d{1,2}\b\s*[.):–—-]?|\d{1,2}\s*[.):](?!\d)|\(\d{1,2}\))\s*", re.IGNORECASE
)
_NOT_ITS_TIME = LazyPattern(
    r"\b(?:every|last|first|final|within|after|up to|every other|in|by|than|lasts?|ahead|keeps?)\s*$", re.IGNORECASE
)
_ALTERNATIVE = LazyPattern(r"\bor(?! (?:so|until|till|less|more)\b)\s+(?:(?!\bthen\b)[^.,;\d]){0,25}$", re.IGNORECASE)
_LESS = LazyPattern(r"^\s*(?:less|fewer|shorter|before|ahead|apart|bursts?|intervals?)\b", re.IGNORECASE)
_NIGHT_MS = 8 * 3_600_000
"""What *overnight* is taken as (common practice, no source)."""
_OVERNIGHT = LazyPattern(r"\bovernight\b(?!\s+(?:oats|or\b|option|guests))(?![^.;]{0,30}\b(?:or|if)\b)", re.IGNORECASE)
_NO_WAIT_OF_ITS_OWN = LazyPattern(
    r"\b(?:or|to|until|ideally|preferably|even|can|could|may|option\w*|before|you like|\d+ ?(?:-|–|to)? ?\d* ?(?:hours?|hrs?|h|minutes?|mins?))\b[^.;]*$",
    re.IGNORECASE,
)
_STANDS = LazyPattern(
    r"\b(?:chill\w*|refrigerat\w*|marinat\w*|soak|rests?|leave|let|stand|sit|set|freeze|pro(?:ve|of)|rise|brine|infuse|cure|steep|cover\w*|keep|place|put|fridge|refrigerator|dry|hang)\b",
    re.IGNORECASE,
)
_HOURS_RUN_IN = LazyPattern(
    r"(?<=\d)\s?h(?:(?:ou)?rs?)?\.?\s?(?P<minutes>[0-5]\d)\b(?!\s?(?:°|s|m|h|d|[-–/.]?\d))", re.IGNORECASE
)
"""*1 hr 15*, *1h30*."""
_BOTH = LazyPattern(
    r"\b(?:both|all(?: of)?(?: the)?|the two|the three)\s+(?:(?:kinds|types|sorts) of\s+)?([a-z]{3,}s)\b", re.IGNORECASE
)


def without_number(text: str) -> str:
    """The step without the number that it begins with.

    >>> [without_number(t) for t in ("1. Chop.", "Step 2: Fry.", "3) Serve.", "2 eggs go in.", "1.5 litres go in.")]
    ['Chop.', 'Fry.', 'Serve.', '2 eggs go in.', '1.5 litres go in.']
    """
    return _NUMBER.sub("", text)


def begins_with_number(text: str) -> bool:
    """Whether the text begins as a numbered step does."""
    return _NUMBER.match(text) is not None


def wait_ms_in(text: str) -> int:
    """All times of a step together, in milliseconds: of a range the lower, of alternatives the first, twice what is said of a side; 0 where it
    gives none, or more than ``LONGEST_MS``. *Every 2 minutes* and *the last 5 minutes* are times of something else; *overnight* is 8 hours where it
    is no alternative.

    >>> [wait_ms_in(t) / 60_000 for t in ("Bake 1 hr 15.", "Cook for 2 and a half hours.", "Fry 4 to 5 minutes per side, then another 10 minutes.")]
    [75.0, 150.0, 18.0]
    """
    total = sum(_waits(_HOURS_RUN_IN.sub(r" h \g<minutes> min", text))) + _nights_in(text)
    return total if 0 < total <= LONGEST_MS else 0


def _nights_in(text: str) -> int:
    """Milliseconds of the nights that food must stand; none of *2 hours or overnight*, *can be left overnight*.

    >>> [_nights_in(t) // 3_600_000 for t in ("Marinate overnight in the fridge.", "Chill for 4 hours or overnight.", "Overnight oats")]
    [8, 0, 0]
    """
    total = 0
    for sentence in sentences_of(text):
        for found in _OVERNIGHT.finditer(sentence):
            if _STANDS.search(sentence) and not _NO_WAIT_OF_ITS_OWN.search(sentence[: found.start()]):
                total += _NIGHT_MS
    return total


def _waits(text: str) -> Iterator[int]:
    for figure in figures_in(text):
        ahead = text[max(0, figure.start - 40) : figure.start]
        after = text[figure.end : figure.end + 20]
        if figure.unit == MS and not (
            figure.idle or _ALTERNATIVE.search(ahead) or _NOT_ITS_TIME.search(ahead) or _LESS.match(after)
        ):
            yield round(figure.low) * (2 if A_SIDE.match(after) else 1)


def all_of_a_kind(text: str) -> tuple[str, ...]:
    """What the text takes all of, in the plural: *both flours*, *all the spices*.

    >>> all_of_a_kind("Sift in both flours and all of the spices.")
    ('flours', 'spices')
    """
    return tuple(found[1].casefold() for found in _BOTH.finditer(text))


_SHORT_FORMS = "".join(
    rf"(?<!\b{word}\.)"
    for word in ("min", "mins", "approx", "tbsp", "tsp", "oz", "lb", "lbs", "hr", "hrs", "sec", "secs", "pkg", "etc")
)
_SENTENCE = LazyPattern(rf"(?<=[.!?])\s+(?=[A-Z\d“(])|(?<=[!?])\s+|(?<=\.){_SHORT_FORMS}\s+(?=[a-z]{{2}})")
_CHATTER = LazyPattern(
    r"\b(?:let me know|see you|hope (?:you|this|it|everyone)|thank(?:s| you)|love you|miss you|speak soon|talk soon|sent from|xx+|(?:don'?t|do not) forget to (?:bring|rate|tag|share|leave)|"
    r"happy (?:cooking|baking|birthday)|give (?:it|this) a try|tag (?:me|us)|leave (?:a|me a) (?:comment|review|rating)|subscribe|you(?:'ll| will) love|as promised|you asked|you all came|"
    r"(?:so|really) (?:glad|pleased|happy)|can'?t wait|good luck|enjoy!*)(?:\b|$)",
    re.IGNORECASE,
)
_TALKS_OF_PEOPLE = LazyPattern(
    r"(?<![\w-])(?:I|I'm|I've|I'll|I'd|we|we've|we're|my|our|me|us|mum|mom|dad|granny|gran|nan|grandma|hubby|husband|wife|the kids|my \w+)(?![\w-])",
    re.IGNORECASE,
)
_KEEPS = LazyPattern(
    r"^\W*(?:(?:it|this|they|these|leftovers|the [\w ]{2,30}) )?(?:(?:will|should|can|can be|also) )*(?:keeps?|kept|stored?|freezes?|frozen|lasts?)\b.{0,80}?\b(?:days?|weeks?|months?|airtight|fridge|freezer|well|container)\b",
    re.IGNORECASE,
)
_YIELDS = LazyPattern(
    r"^\W*(?:serves|makes|feeds|yields)\b(?: about| around)? (?:\d+|one|two|three|four|five|six|eight|ten|twelve|plenty|enough|a)\b[^.]*\.?$",
    re.IGNORECASE,
)


def sentences_of(text: str) -> list[str]:
    """The sentences of a step, in their words.

    >>> sentences_of("Stir 1.5 l in. Serve! it is hot.")
    ['Stir 1.5 l in.', 'Serve!', 'it is hot.']
    """  # a stop before a small letter ends none behind `min.`
    return [s for s in _SENTENCE.split(text) if s.strip()]


def tells_no_step(sentence: str, *, does_something: bool) -> bool:
    """Whether a sentence is what people write to each other, how long it keeps, or how many it feeds. ``does_something``: whether it names work of
    the kitchen, which talk of people then does not take away.

    >>> [tells_no_step(s, does_something=False) for s in ("Let me know how it goes!", "Dad had thirds.", "Keeps for 3 days.", "Skim the fat.")]
    [True, True, True, False]
    """
    if _KEEPS.match(sentence) or _YIELDS.match(sentence):
        return True
    return not does_something and is_of_people(sentence)


def is_of_people(sentence: str) -> bool:
    """Whether a sentence is about who writes or reads, and not about the dish.

    >>> [is_of_people(s) for s in ("I always do it the day before.", "A thick soup of leeks.")]
    [True, False]
    """
    return bool(_TALKS_OF_PEOPLE.search(sentence) or _CHATTER.search(sentence))
