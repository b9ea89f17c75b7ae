"""Which cooking method a step's words name."""

from __future__ import annotations

import functools
import re

from scriptkit.english.negation import affirmed
from scriptkit.patterns import LazyPattern

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
        r"(?:use|in|into|to|with|through|by|take|plunge|put|run|go in with) (?:a|the|an|your) (?:\w+[ -])?(?:(?:stick|hand|hand-held|immersion|jug)[- ])?(?:blender|liquidi[sz]er|smoothie maker|vitamix|goblet)(?! (?:cup|bowl|glass)s?\b)|"
        r"(?<!the )(?:stick|hand|immersion|jug)[- ]blender(?= (?:(?:on|at) (?:\w+ ){1,3})?(?:straight )?(?:in|into|through|straight in|goes in|go in|down|on|until|till?)\b(?! (?:hot )?(?:water|the (?:sink|drawer|cupboard|dishwasher))))|"
        r"(?:in|into) the jug(?=[^.;]{0,40}\b(?:speed|whizz)\b)|(?:in|into) the (?:jug|goblet|bowl) of (?:the|a|your) (?:food )?(?:blender|liquidi[sz]er|processor)|"
        r"process(?:es)? (?:(?:it|them|everything) )?(?:until|to|in|while|with)|(?:in|into|to|through|with) (?:a|the|your) (?:food )?processor|buzz(?:es|ed)?",
    ),
    ("deep-fry", r"deep[- ]fr(?:y|ies|ied|ying)"),
    ("sear", rf"sear(?:s|ed|ing)?|brown (?:it|them|all over|on all sides|(?:the )?(?:\w+ ){{0,2}}(?:{_BROWNED}))"),
    (
        "sweat",
        # butter on the worktop and gelatine in water soften without heat
        r"sweat(?:s|ed|ing)?|(?<!butter )(?<!gelatine )(?<!gelatin )(?<!leaves )(?<!cheese )(?<!ice cream )soften(?:s|ed|ing)?"
        r"(?! (?:the |your )?(?:\w+ )?(?:butter|gelatine?|ice cream|cream cheese)\b)"
        r"(?! (?:\w+ ){0,2}(?:on|at|in|out|by|near) (?:the |a )?(?:\w+ )?(?:counter|worktop|side|table|room temperature|kitchen|warm room|sill|windowsill|fridge|cold water|warm water)\b)",
    ),
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
        r"^plate|plat(?:e (?:up|it|them|the|with)|ed|ing)|(?<!\ba )(?<!\bthe )(?<!\bof )ladle(?! of)|serve[sd]?|dish(?:es)? (?:(?:it|them|everything) )?up|"
        r"portion (?:it |them )?(?:out|into|onto)|"
        r"(?:divide|spoon|spread) (?:\w+ ){1,3}(?:between|into|onto|over) (?:\w+ ){0,2}(?:plates?|(?:soup |serving )?bowls)",
    ),
    ("cut", r"cut|chop|dic(?:e|ed|ing)|slic(?:e|ed|ing)|trim|peel|(?<!the )(?<!ground )mince|shred"),
    ("mix", r"mix(?:es|ed|ing)?|whisk\w*|stir(?:s|red|ring)?|beat|toss|fold"),
)
_PATTERNS = tuple((method, LazyPattern(rf"\b(?:{words})\b", re.IGNORECASE)) for method, words in _WORDS)
_PARTICIPLE = (
    r"blended|blitzed|pur[ée]ed|seared|browned|fried|roast(?:ed)?|baked|grilled|steamed|poached|braised|boiled|simmered|chilled|"
    r"softened|sweated|sliced|diced|shredded|minced|mixed|whisked|rested|stewed"
)
_COOKED = _PARTICIPLE.replace("roast(?:ed)?", "roasted")
_NOT_A_METHOD = LazyPattern(
    rf"(?:^\W*(?:(?:and|or) )?(?:{_COOKED})(?= (?!until|for|in|on|at|to|and|then)\w)|\b(?:and|or) (?:{_COOKED})(?= (?!until|for|in|on|at|with|to|by|over|then|and|again|a|the|it|them)\w))|"
    rf"\b(?:will|can|is to|are to) be (?:\w+ly )?(?:{_PARTICIPLE})(?: \w+){{0,2}} (?:later|afterwards|next|tomorrow)\b|"
    r"\b(?:for|before) (?:deep[- ]frying|frying|grilling|roasting|baking|boiling|poaching|steaming|braising|searing|blending)\b|"
    r"\b(?:release|let out|vent) (?:the |any |all (?:the )?)?steam\b|\bsteam[- ]dry\b|"
    rf"\b(?:(?:the|your|some|this|these|those|with|of|each) (?:\w+ly )?(?:{_PARTICIPLE})|(?:add|stir in|fold in|mix|toss|chop) (?:some )?(?:\w+ly )?(?:{_PARTICIPLE})(?= \w)|"
    r"blend of|searing[- ]hot|the rest|rest of|boiling(?= (?:\w+ )?(?:water|stock|milk|broth|point|kettle))|boiling|"
    r"baking (?:sheet|tray|parchment|paper|dish|tin|powder|soda|stone|beans|potatoes)|honey-roast(?:ed)?|(?:(?:pre-?)?heat|light|turn on|switch on) (?:the|your) (?:\w+ )?(?:grill|broiler)|(?:tomato|apple|chestnut|fruit|garlic|pumpkin|mango|date) pur[ée]e|roasting (?:tin|tray|pan|joint)|"
    r"frying[- ]pan|grill pan|stir[- ]fry (?:sauce|vegetables)|(?:piping|steaming)[- ]hot|steam oven|until \w+ing|"
    r"(?:a|the|spice|salad|cake) mix(?=\W|$)|the (?:\w+ )?(?:stew|roast|braise|pur[ée]e)(?=[.,;]| (?:in|on|with|and|from|over|to|is|into|for)\b|$))\b",
    re.IGNORECASE,
)
"""Method words that name a thing, or a state that food is already in."""

_TO_COME = LazyPattern(
    r"\b(?:before|until|ready for|so that) (?:you|they|we|it|(?:the )?\w+ing)\b[^.;,]*|\bready to \w+\b|\bto be \w+ed later\b",
    re.IGNORECASE,
)
"""*Pat it dry before you sear it* is no sear yet."""

_COLD_WORK = (
    r"make|prepare|whisk|mix|chop|slice|cut|peel|grate|shred|dice|trim|zest|halve|quarter|tear|pick|wash|rinse|beat|crush|weigh|set|lay|dress|combine|"
    r"stir together"
)
_ELSEWHERE = LazyPattern(
    rf"^\W*(?:meanwhile,? )?(?:while|whilst|as) (?:the|your|that|this|it|they)\b[^,.;]*(?=, (?:{_COLD_WORK}|toast|fry|boil|cook|heat|warm|melt|char|steam|bring|griddle|simmer)\b)|"
    r"\b(?:while|whilst) you (?:make|prepare|finish|get|sort|see|do|chop|cut|slice|mix|whisk|dress|lay|set|clear|wash)\b[^.;]*",
    re.IGNORECASE,
)
"""What another pot does at the same time: *while the chicken roasts, make the dressing* roasts nothing here."""

HOT = frozenset(
    {"deep-fry", "sear", "sweat", "braise", "roast", "bake", "grill", "steam", "poach", "simmer", "boil", "fry"}
)
"""Methods after which what is in the vessel is hot."""


METHODS = tuple(method for method, _ in _PATTERNS)
"""Every method, the stronger hazard first."""


def method_of(words: str, *, on_the_heat: bool = True) -> str:
    """The method that a step's sentence names, or an empty string where it names none. What it says is not done counts for
    nothing, nor, at a step that is not ``on_the_heat``, what is yet to come (*before you sear it*).

    >>> method_of("Blend in two batches until smooth."), method_of("Stir in the rest of the cream.")
    ('blend', 'mix')
    >>> method_of("Pat it dry before you sear it.", on_the_heat=False), method_of("Chill overnight; no baking.")
    ('', 'chill')
    """
    found = found_in(words, on_the_heat=on_the_heat)
    return found[0] if found else ""


@functools.lru_cache(maxsize=4096)
def found_in(words: str, *, on_the_heat: bool = True) -> tuple[str, int, int] | None:
    """The method that the words name, and from where to before where they name it; None where they name none."""
    told = _blank(_NOT_A_METHOD, done_by(words, on_the_heat=on_the_heat))
    for method, pattern in _PATTERNS:
        if found := pattern.search(told):
            return method, found.start(), found.end()
    return None


def done_by(words: str, *, on_the_heat: bool = True) -> str:
    """The words with blanks where something is not done, or is yet to come; every other word keeps its place."""
    return affirmed(_blank(_ELSEWHERE, words if on_the_heat else _blank(_TO_COME, words)))


def _blank(pattern: LazyPattern, text: str) -> str:
    return pattern.sub(lambda found: " " * len(found.group()), text)
