"""Which cooking method a step's words name."""

from __future__ import annotations

import re

_BROWNED = (
    r"meat|mince|beef|lamb|mutton|pork|veal|chicken|turkey|duck|goose|venison|rabbit|sausages?|bacon|fish|skin|outside|"
    r"fillets?|chops?|steaks?|thighs?|legs?|drumsticks?|wings?|breasts?|ribs?|joint|belly|shoulder|shanks?|cheeks?|oxtail|"
    r"meatballs?|patt(?:y|ies)|burgers?|scallops?|prawns?|liver|kidneys?|cubes|pieces"
)
"""What is browned in a hot pan; butter, onions and sugar are browned gently, which is no sear."""
# First match wins, so the stronger hazard and the longer phrase stand first. Words of the trade.
_WORDS = (
    (
        "blend",
        r"blend(?:s|ed|ing)?|blitz\w*|whizz?(?:es|ed|ing)?|liquidi[sz]\w+|pur[ée]e(?:s|d|ing)?|pulse[sd]?|"
        r"(?:use|in|with|through) (?:a|the) (?:\w+ )?blender|process(?:es)? (?:(?:it|them) )?(?:until|to)",
    ),
    ("deep-fry", r"deep[- ]fr(?:y|ies|ied|ying)"),
    ("sear", rf"sear(?:s|ed|ing)?|brown (?:it|them|all over|on all sides|(?:the )?(?:\w+ ){{0,2}}(?:{_BROWNED}))"),
    ("sweat", r"sweat(?:s|ed|ing)?|soften(?:s|ed|ing)?"),
    ("braise", r"brais(?:e|es|ed|ing)|stew(?:s|ed|ing)?"),
    ("roast", r"roast(?:s|ed|ing)?"),
    ("bake", r"bak(?:e|es|ed|ing)"),
    ("grill", r"grill(?:s|ed|ing)?|broil(?:s|ed|ing)?"),
    ("steam", r"steam(?:s|ed|ing)?"),
    ("poach", r"poach(?:es|ed|ing)?"),
    ("simmer", r"simmer(?:s|ed|ing)?"),
    ("boil", r"boil(?:s|ed|ing)?"),
    ("fry", r"(?:pan-|stir-|shallow-)?fr(?:y|ies|ied|ying)|saut[ée]\w*"),
    ("chill", r"chill(?:s|ed|ing)?|refrigerat\w+|(?:in|into) the fridge"),
    ("rest", r"rest(?:s|ed|ing)?"),
    (
        "plate",
        r"^plate|plat(?:e (?:up|it|them|the|with)|ed|ing)|ladle|serve[sd]?|dish(?:es)? (?:(?:it|them|everything) )?up|"
        r"portion (?:it |them )?(?:out|into|onto)|"
        r"(?:divide|spoon|spread) (?:\w+ ){1,3}(?:between|into|onto|over) (?:\w+ ){0,2}(?:plates?|(?:soup |serving )?bowls)",
    ),
    ("cut", r"cut|chop|dic(?:e|ed|ing)|slic(?:e|ed|ing)|trim|peel|mince|shred"),
    ("mix", r"mix(?:es|ed|ing)?|whisk\w*|stir(?:s|red|ring)?|beat|toss|fold"),
)
_PATTERNS = tuple((method, re.compile(rf"\b(?:{words})\b", re.IGNORECASE)) for method, words in _WORDS)
_NOT_A_METHOD = re.compile(
    r"\b(?:the (?:\w+ly )?(?:blended|blitzed|pur[ée]ed|seared|browned|fried|roasted|baked|grilled|steamed|poached|braised|chilled)|"
    r"blend of|searing[- ]hot|the rest|rest of|boiling|baking (?:sheet|tray|parchment|dish|tin)|roasting (?:tin|tray)|frying[- ]pan|"
    r"grill pan|stir[- ]fry sauce|(?:piping|steaming)[- ]hot|until \w+ing|(?:do not|don't|without) \w+(?:ing)?)\b",
    re.IGNORECASE,
)

_TO_COME = re.compile(
    r"\b(?:before|until|ready for|so that) (?:you|they|we|it|(?:the )?\w+ing)\b[^.;,]*|\bready to \w+\b|\bto be \w+ed later\b",
    re.IGNORECASE,
)
"""*Pat it dry before you sear it* is no sear yet."""

HOT = frozenset(
    {"deep-fry", "sear", "sweat", "braise", "roast", "bake", "grill", "steam", "poach", "simmer", "boil", "fry"}
)
"""Methods after which what is in the vessel is hot."""


def method_of(words: str, *, on_the_heat: bool = True) -> str:
    """The method that a step's sentence names, or an empty string where it names none. At a step that is not
    ``on_the_heat``, what is named as yet to come (*before you sear it*) is not done.

    >>> method_of("Blend in two batches until smooth."), method_of("Stir in the rest of the cream.")
    ('blend', 'mix')
    >>> method_of("Pat it dry before you sear it.", on_the_heat=False)
    ''
    """
    told = _NOT_A_METHOD.sub(" ", words if on_the_heat else _TO_COME.sub(" ", words))
    return next((method for method, pattern in _PATTERNS if pattern.search(told)), "")
