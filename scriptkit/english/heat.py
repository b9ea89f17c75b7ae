"""Heat: whether it is on, what gives it, and how it is set; read from `heat:`, else from the words and the method."""

from __future__ import annotations

import functools
import re
from dataclasses import dataclass

from scriptkit.english import vessels
from scriptkit.english.heat_scale import HOTTEST_BARE_C
from scriptkit.english.heat_unnamed import back_in_the_oven, changes_the_oven, goes_into_what_boils
from scriptkit.english.methods import HOT
from scriptkit.english.vessels import Vessel
from scriptkit.measure.temperatures import fahrenheit_to_celsius
from scriptkit.patterns import LazyPattern
from scriptkit.problems import nearest

HOB, OVEN, GRILL, AIR_FRYER, MICROWAVE, SLOW_COOKER, PRESSURE_COOKER, SOUS_VIDE, BARBECUE, APPLIANCE, NONE = (
    "hob", "oven", "grill", "air fryer", "microwave", "slow cooker", "pressure cooker", "sous vide", "barbecue", "appliance", "none",
)  # fmt: skip
"""What gives the heat. ``appliance``: another one with its own element (kettle, rice cooker, toaster, blowtorch)."""

_I = re.IGNORECASE
_OFF = LazyPattern(
    r"\W*(?:(?:switched |turned )?off\b(?! the boil)|none\b|no\b|n/a\b|cold\b(?! (?:oven|pan|start|smok))|unheated\b|without heat|"
    r"room temp|residual heat|(?:take |remove |pull )?(?:it )?(?:off|from) the (?:heat|hob)|-\W*$)|.*\b(?:switched|turned) off\W*$|.*\bheat off\W*$",
    _I,
)
_SOURCES = tuple(
    (source, LazyPattern(rf"\b(?:{words})\b", _I))
    for source, words in (
        (AIR_FRYER, r"air[- ]?fr(?:y|ies|ied|yer|yers|ying)"),
        (MICROWAVE, r"microwav(?:e|es|ed|ing)"),
        (SLOW_COOKER, r"slow[- ]cook(?:er|ers|s|ed|ing)?|crock[- ]?pot"),
        (PRESSURE_COOKER, r"pressure[- ]cook(?:er|ers|s|ed|ing)?|(?:high|low|full|medium) pressure|under pressure|at pressure|\d+ ?psi"),
        (SOUS_VIDE, r"sous[- ]?vide|immersion circulator|water bath at"),
        (BARBECUE, r"barbecue[ds]?|barbecuing|bbq|braai|charcoal|(?:hot |white )?coals|embers|camp ?fire|smoker|kettle grill|charcoal grill"),
        (APPLIANCE, r"rice cooker|waffle iron|toaster|bread machine|blow ?torch|electric kettle|panini press|sandwich press|dehydrator|fondue"),
        (OVEN, r"(?<!dutch )ovens?|gas ?(?:mark )?\d{1,2}|mark \d|regulo \d|fan|convection"),
        (GRILL, r"grill(?! ?pan)|broil(?:er)?|salamander"),
        (HOB, r"hob|stove(?:top)?|burner|ring|induction|flame|gas|griddle|grill ?pan|bain[- ]marie|double boiler"),
    )
)  # fmt: skip
"""Written under `heat:`, the first that holds."""
_DOING = {
    AIR_FRYER: LazyPattern(r"\bair[- ]fr(?:y|ies|ied|ying)\b|\bin (?:the|an|your) air[- ]?fryer\b", _I),
    MICROWAVE: LazyPattern(r"\bmicrowave oven on\b|\bmicrowave (?!oven\b)(?:it|them|the|for|on|until|in|again|\d)|\bin (?:the|a|your) microwave\b", _I),
    SLOW_COOKER: LazyPattern(r"\bslow[- ]cook\b|\b(?:in|into|to) (?:the|a|your) (?:slow[- ]cooker|crock[- ]?pot)\b", _I),
    PRESSURE_COOKER: LazyPattern(r"\bpressure[- ]cook\b|\b(?:in|into) (?:the|a|your) pressure[- ]cooker\b|\b(?:at|under) (?:high |low |full )?pressure\b|\bat \d+ ?psi\b", _I),
    SOUS_VIDE: LazyPattern(r"\bsous[- ]?vide\b|\bwater bath at\b", _I),
    BARBECUE: LazyPattern(r"\b(?:on|over) (?:(?:the|a|your) )?(?:hot |white |glowing )?(?:barbecue|bbq|coals|charcoal|embers|camp ?fire|open fire)\b|\bbarbecue (?:it|them|the|for|over)\b", _I),
    OVEN: LazyPattern(r"\b(?:in|into|to) (?:the|a|an|your) (?:\w+ ){0,2}(?<!dutch )oven\b(?! dish)", _I),
    GRILL: LazyPattern(r"\bunder (?:the|a|your) (?:\w+ )?(?:grill|broiler)\b", _I),
    HOB: LazyPattern(r"\b(?:on|over) (?:the|a|your) (?:\w+ )?(?:hob|stove|burner|ring)\b", _I),
}  # fmt: skip
"""What a sentence says of where the food is heated."""
_LEVEL_WORDS = r"(?:very )?(?:medium|moderate|low|lowest|high|highest|full|gentle|slow|fierce|brisk)(?:[- ](?:to[- ])?(?:low|high))?"
_LEVEL = LazyPattern(rf"\b{_LEVEL_WORDS}\b", _I)
_AT_A_LEVEL = LazyPattern(
    rf"\b(?:over|on|at|to|with|keep) (?:an? |the )?(?P<level>{_LEVEL_WORDS}|hot) (?:heat|fire|flame)\b", _I
)
_LEVELS = {
    "moderate": "medium", "gentle": "low", "slow": "low", "lowest": "low", "highest": "high", "full": "high", "hot": "high", "fierce": "high", "brisk": "high",
}  # fmt: skip
_BACK_ON = LazyPattern(
    r"\b(?:return|back|put|place|set|bring|keep|cook|warm|heat)\b[^.;:]{0,40}?\b(?:to|on|onto|over) the (?:heat|hob|stove)\b",
    _I,
)
_HEATS = LazyPattern(
    r"(?:^|[.,;:]|\b(?:and|then|to)\b) *(?:(?:gently|slowly|quickly|briefly|now) )?(?:re-?heat|heat|cook|warm|melt|toast|scald|char|reduce|blanch|"
    r"par-?boil|wilt|sizzle|deglaze|scramble|render|carameli[sz]e|griddle|flamb[ée]|coddle|crisp(?: up)?(?![^.;]{0,30}\b(?:iced|cold)\b)|brown(?! (?:sugar|rice|bread|sauce)))\b"
    r"(?! (?:the |some |your )?(?:plates?|bowls?|serving|dish(?:es)?|oven|grill|speed|by half the))|"
    r"\bover the heat\b|\bin (?:the|a) hot (?:dry )?(?:pan|wok|skillet)\b|\blet (?:it|them|the [\w ]{2,24}?) (?:bubble|sizzle|cook|reduce|carameli[sz]e)\b|\b(?:as|when|once|until) (?:they|it|the \w+) floats?\b|"
    r"\b(?:stock|broth|liquid)\b[^.;]{0,120}\b(?:at a time|bit by bit|little by little|gradually)\b",
    _I,
)
"""What is done is heating, though it is no method."""
_OFF_IT = LazyPattern(
    r"\b(?:off|from) the (?:heat|hob|stove)\b|\b(?:turn|switch) (?:off the (?:heat|hob|stove|flame)|the (?:heat|hob|flame) off)\b|\bheat off\b",
    _I,
)
_PREHEATS = LazyPattern(
    r"\bput (?:the |your )(?P<put>oven|grill) on\b(?:(?! and\b| then\b)[^.;,])*|\b(?:pre-?heat|heat(?: up)?|light|turn on|switch on|turn|set)(?: up)? (?:the |your |an? )?(?P<what>\w+ )?(?:oven|grill|air[- ]?fryer|barbecue|bbq|broiler)\b(?:(?! and\b| then\b)[^.;,])*",
    _I,
)
_DEGREES = LazyPattern(r"(?<![\d.])(\d{2,3})(?:\s*(?:°|º|degrees?|deg\.?))?\s*(c|f|celsius|fahrenheit|fan)?\b", _I)
_FAN = LazyPattern(r"\bfan\b|\bconvection\b", _I)
_GAS_MARK = LazyPattern(r"\b(?:gas(?: ?mark)?|mark|regulo) ?(1/2|½|1/4|¼|\d{1,2})\b", _I)
_BELOW_ONE = {"1/4": 110.0, "¼": 110.0, "1/2": 120.0, "½": 120.0}
GAS_MARKS = {1: 140.0, 2: 150.0, 3: 160.0, 4: 180.0, 5: 190.0, 6: 200.0, 7: 220.0, 8: 230.0, 9: 240.0}
"""Gas mark → °C of a conventional oven, as British cookers and cookbooks commonly print it (common practice, no source)."""
OVEN_FROM_C = 100.0
"""A bare figure from here on, without a pan, is an oven's (common practice, no source)."""
_MACHINES = (AIR_FRYER, MICROWAVE, SLOW_COOKER, PRESSURE_COOKER, SOUS_VIDE, BARBECUE)
_OVEN_METHODS = frozenset({"bake", "roast"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Heat:
    """``on``: whether what is done here is on the heat; of *preheat the oven* it is not, and ``source`` and ``setting`` tell what
    gets hot. ``source``: one of those above. ``setting`` as written; ``celsius`` where it names degrees or a gas mark;
    ``level``: low, medium-low, medium, medium-high, high, or empty. ``written``: from `heat:`; else read from the words."""

    on: bool
    source: str
    setting: str = ""
    celsius: float | None = None
    level: str = ""
    fan: bool = False
    written: bool = False

    @property
    def takes_a_burner(self) -> bool:
        """Only the hob does, and a pressure cooker that is not called an electric one."""
        return self.on and (
            self.source == HOB or (self.source == PRESSURE_COOKER and "electric" not in self.setting.casefold())
        )

    @property
    def in_the_oven(self) -> bool:
        """Whether what is done here is in the oven."""
        return self.on and self.source == OVEN

    @property
    def setting_key(self) -> str:
        """What two dishes must have alike to share an oven: ``180 °C``, ``180 °C fan``, else the words."""
        if self.celsius is None:
            return self.setting.casefold()
        return f"{self.celsius:.0f} °C{' fan' if self.fan else ''}"

    @property
    def shown(self) -> str:
        """A written heat for a paper: ``medium heat``, ``oven 180 °C``, ``off the heat``; empty where none is written or nothing
        is heated."""
        setting = " ".join(self.setting.split()) if self.written else ""
        if not self.on:
            return "off the heat" if re.match(r"\W*(?:off|take|remove|residual|switched|turned)\b", setting, _I) else ""
        if self.source == HOB and _LEVEL.fullmatch(setting):
            return f"{setting} heat"
        return setting


@functools.lru_cache(maxsize=4096)
def heat_of(written: str, words: str, method: str, acts: tuple[str, ...], vessel: Vessel) -> Heat:
    """The heat of a step: as ``written``, else as its ``words`` (less what is not done), its methods and its vessel tell it.

    >>> pan = Vessel("pan", "pan")
    >>> [heat_of(w, "", "fry", ("fry",), pan).source for w in ("medium", "none", "air fryer 190 °C", "gas 4")]
    ['hob', 'none', 'air fryer', 'oven']
    """
    if written.strip():
        return _as_written(written, words, method, vessel)
    return _from_words(words, method, acts, vessel)


def _as_written(written: str, words: str, method: str, vessel: Vessel) -> Heat:
    if _OFF.match(written):
        return Heat(on=False, source=NONE, setting=written, written=True)
    celsius, fan = _celsius(written)
    named = next((source for source, pattern in _SOURCES if pattern.search(written)), "")
    source = named or _unnamed_source(words, method, vessel, celsius)
    level = "" if celsius is not None else level_in(written)
    return Heat(on=True, source=source, setting=written, celsius=celsius, level=level, fan=fan, written=True)


def _unnamed_source(words: str, method: str, vessel: Vessel, celsius: float | None) -> str:
    """What *high* or *180 °C* is of: an appliance by its vessel or its words, else by the method, else the hob."""
    said = {source for source, pattern in _DOING.items() if pattern.search(words)} if words else set()
    machine = next((source for source in _MACHINES if source in said or source == vessel.kind), "")
    if machine:
        return machine
    pan = vessel.kind in vessels.ON_THE_HOB
    if (method == "grill" or GRILL in said) and not pan and HOB not in said:
        return GRILL
    if HOB in said or (method in HOT and method not in _OVEN_METHODS):
        return HOB
    in_oven = method in _OVEN_METHODS or OVEN in said
    degrees = celsius is not None and (in_oven or (celsius >= OVEN_FROM_C and not pan))
    return OVEN if degrees or (in_oven and not pan) else HOB


def _from_words(words: str, method: str, acts: tuple[str, ...], vessel: Vessel) -> Heat:
    preheats = _PREHEATS.search(words)
    changed = changes_the_oven(words)
    told = _PREHEATS.sub(" ", words) if preheats and not changed else words
    at_level = _AT_A_LEVEL.search(told)
    hot = next((act for act in (method, *acts) if act in HOT), "")
    appliance = next((source for source in _MACHINES if _DOING[source].search(told)), "")
    back, off = _BACK_ON.search(told), _OFF_IT.search(told)
    on = bool(hot or appliance or at_level or back or _DOING[HOB].search(told) or _DOING[GRILL].search(told))
    oven = _DOING[OVEN].search(told)
    in_it = oven is not None or back_in_the_oven(told) or (changed and _HEATS.search(told) is not None)
    on = on or bool((in_it or _HEATS.search(told)) and not off) or goes_into_what_boils(told)
    if not on:
        if preheats:
            celsius, fan = _celsius(preheats.group())
            source = next((s for s, pattern in _SOURCES if pattern.search(preheats.group())), OVEN)
            return Heat(on=False, source=source, setting=_setting(preheats.group()), celsius=celsius, fan=fan)
        return Heat(on=False, source=NONE)
    celsius, fan = (
        _celsius(told, OVEN_FROM_C if not appliance else 0)
        if hot in _OVEN_METHODS or in_it or appliance
        else (None, False)
    )
    said_oven = in_it and not _DOING[OVEN].search(told) and not hot
    source = appliance or (OVEN if said_oven else _unnamed_source(told, hot or method, vessel, celsius))
    level = _level(at_level["level"]) if at_level else ""
    setting = at_level["level"] if at_level else _setting(told, celsius) if celsius is not None else ""
    return Heat(on=True, source=source, setting=setting, celsius=celsius, level=level, fan=fan)


def heat_in_words(text: str) -> str:
    """How high a sentence says that the heat is, as `heat:` would be written: *over a gentle heat* is low; empty where it does
    not say.

    >>> heat_in_words("Soften over a gentle heat."), heat_in_words("Add the hot sauce.")
    ('low', '')
    """
    found = _AT_A_LEVEL.search(text)
    if not found:
        return ""
    words = found["level"].casefold()
    return _LEVELS.get(words, words)


def level_in(text: str) -> str:
    """The first level that the text names: low, medium-low, medium, medium-high or high; else empty.

    >>> [level_in(t) for t in ("high", "medium to high", "very low", "moderate, then high", "8 of 9")]
    ['high', 'medium-high', 'low', 'medium', '']
    """
    found = _LEVEL.search(text)
    return _level(found.group()) if found else ""


_HEAT_WORDS = (
    "low", "medium", "high", "medium-low", "medium-high", "gentle", "off", "none", "oven", "grill", "hob", "air fryer", "microwave",
    "slow cooker", "pressure cooker", "sous vide", "barbecue",
)  # fmt: skip


def heat_meant(written: str) -> str:
    """What a `heat:` that says nothing known is nearest to; empty where it says something, or is near to nothing.

    >>> heat_meant("mediumm"), heat_meant("medium"), heat_meant("8 of 9")
    ('medium', '', '')
    """
    known = _OFF.match(written) or level_in(written) or _celsius(written)[0] is not None
    if known or re.search(r"\d", written) or any(pattern.search(written) for _, pattern in _SOURCES):
        return ""
    return next(iter(nearest(written.strip().casefold(), _HEAT_WORDS, most=1)), "")


def _level(words: str) -> str:
    first, *more = re.split(r"[- ]+(?:to[- ]+)?", words.casefold().removeprefix("very "))
    first = _LEVELS.get(first, first)
    if not more or more[-1] == first:
        return first
    return f"medium-{more[-1]}" if first == "medium" else f"medium-{first}"


def _celsius(text: str, least: float = 0) -> tuple[float | None, bool]:
    """Degrees of the first temperature or gas mark, and whether it is a fan oven's. A bare figure is °C up to 260, else °F."""
    fan = _FAN.search(text) is not None
    if mark := _GAS_MARK.search(text):
        figure = mark.group(1)
        return _BELOW_ONE.get(figure) or GAS_MARKS.get(int(figure)), fan
    for found in _DEGREES.finditer(text):
        figure, scale = float(found.group(1)), (found.group(2) or "").casefold()[:1]
        scaled = scale in ("c", "f") and (found.group(2) or "").casefold() != "fan"
        bare = found.group().strip().isdigit()
        if bare and not (
            100 <= figure <= 550 and not re.match(r"\s*(?:g|ml|kg|l|w|watts?|min|s|h|cm|mm)\b", text[found.end() :], _I)
        ):
            continue
        fahrenheit = (scaled and scale == "f") or (not scaled and figure > HOTTEST_BARE_C)
        celsius = fahrenheit_to_celsius(figure) if fahrenheit else figure
        if celsius >= least:
            return celsius, fan
    return None, fan


def _setting(text: str, celsius: float | None = None) -> str:
    """The words of the gas mark or of the temperature, of several the one that is so many ``celsius``."""
    marks = [*_GAS_MARK.finditer(text), *(f for f in _DEGREES.finditer(text) if not f.group().strip().isdigit())]
    words = next((f.group().strip() for f in marks if celsius is None or _celsius(f.group())[0] == celsius), "")
    return f"{words} fan" if words and _FAN.search(text) and "fan" not in words.casefold() else words


# --- words that can mean heat where nothing else does ---------------------------------------------------------------

_CALLED_HOT = LazyPattern(
    r"\b(?:hot|boiling|steaming|scalding|warm|simmering)\b(?! (?:sauce|pepper|chill?i|paprika|mustard|smoked))", _I
)
_COOLED = LazyPattern(
    r"\bcool(?:ed)? (?:down )?(?:completely|to room temperature)|\b(?:until|stone|quite|completely|fully|thoroughly|well) cold\b|\bovernight\b",
    _I,
)
_MAY_HEAT = LazyPattern(
    r"\b(?:cook(?:s|ing|er)?|blanch(?:es|ed|ing)?|(?<!the )(?:cooked|warmed|charred|toasted|melted)|(?:re)?heat(?:s|ed|ing)?|warm(?! (?:bowls?|plates?|rice|bread|flatbreads?|pitta|tortillas?|toast|weather|day|water)\b)(?:s|ing)?|"
    r"hot(?! (?:sauce|pepper|chill?i|paprika|mustard|smoked))|oven|microwaves?|barbecues?|griddles?|char(?:s|ring)?|"
    r"(?:peeled|cut(?: up)?|sliced|washed|scrubbed|diced|trimmed|soaked),? (?:and |then )?(?:boiled|simmered|baked|fried|roasted|steamed|cooked)|boiling|bubbl(?:e|es|ing)|sizzl(?:e|es|ing)|(?<!the )(?<!on )(?<!your )(?<!of )(?<!with )(?<!and )(?<!some )(?<!hot )(?<!buttered )toast(?:s|ing)?|brown(?! (?:sugar|rice|bread|butter|shrimp))|crisp up|scald(?:s|ed|ing)?|melt(?:s|ing)?|temper(?:s|ed|ing)?|"
    r"thicken(?:s|ed|ing)?|wok|skillet|frying|saucepan|pan|pot|hob|stove|bain[- ]marie|boiler|steamer|waffle)\b",
    _I,
)
"""Words and vessels that can mean heat where no method is named: then food is not called raw."""


def comes_off(text: str) -> bool:
    """Whether the words take it off the heat, or turn the heat off: it has been hot until now."""
    return _OFF_IT.search(text) is not None


def called_hot(text: str) -> bool:
    """Whether something in the words is called hot; *hot sauce* and *warm spices* of a jar are not."""
    return _CALLED_HOT.search(text) is not None


def is_cooled(text: str) -> bool:
    """Whether the words cool it down: to room temperature, until cold, overnight."""
    return _COOLED.search(text) is not None


def can_mean_heat(text: str) -> bool:
    """Whether a word or a vessel of the text can mean heat, so that nobody calls the food raw."""
    return _MAY_HEAT.search(text) is not None


# --- prose that is not a step yet -------------------------------------------------------------------------------------

_INTO_THE_OVEN = LazyPattern(
    r"\b(?:in(?:to|side)?|to|return(?:ed)? to) (?:the |your |a )?(?:hot |preheated |warm )?oven\b|^\W*(?:bake|roast)\b|\b(?:and|then) (?:bake|roast)\b",
    _I,
)
_OVEN_NAMED = LazyPattern(r"(?<!\bdutch )(?<!\bdutch-)\boven\b|\bpre-?heat|\bgas ?mark\b|\bregulo\b|\bgas \d", _I)
_OVEN_DEGREES = LazyPattern(
    r"(?<![\d.])(?P<before>(?:fan|convection)(?: oven)?:? )?(?P<figure>[1-9]\d{1,2})[ -]?(?:°|º|degrees?|deg\.?)? ?(?P<scale>c(?:elsius|entigrade)?\b|f(?:ahrenheit)?\b)?"
    r"(?P<fan>,? ?\(?(?:fan|convection)\b(?! ?:? ?\d))?",
    _I,
)


def goes_into_the_oven(text: str) -> bool:
    """Whether something is put into the oven, of which the degrees may stand in an earlier sentence.

    >>> goes_into_the_oven("Bake until golden."), goes_into_the_oven("Heat the oven.")
    (True, False)
    """
    return _INTO_THE_OVEN.search(text) is not None


def oven_set_in(text: str) -> str:
    """The oven's degrees or gas mark, as `heat:` has them, where the text names an oven; empty where it does not. Of several the degrees of
    an oven without a fan.

    >>> [oven_set_in(t) for t in ("Oven to 150C.", "Preheat to 200C/180C fan/gas 6.", "Oven at gas mark 4.", "Fan oven 160.")]
    ['oven 150 °C', 'oven 200 °C', 'oven gas mark 4', 'oven 160 °C fan']
    """
    return oven_degrees_in(text) if _OVEN_NAMED.search(text) else ""


def oven_degrees_in(text: str) -> str:
    """The same of a text that is known to tell of an oven: *bake at 180*."""
    told = [f for f in _OVEN_DEGREES.finditer(text) if _is_of_an_oven(f, text)]
    plain = next((f for f in told if not f["before"] and not f["fan"]), None)
    mark = _GAS_MARK.search(text)
    if mark and not plain:
        return f"oven gas mark {mark[1]}"
    found = plain or next(iter(told), None)
    if found is None:
        return ""
    scale = (found["scale"] or ("F" if int(found["figure"]) > HOTTEST_C else "C"))[0].upper()
    return f"oven {found['figure']} °{scale}{'' if found is plain else ' fan'}"


HOTTEST_C = 260
"""No oven of a kitchen is hotter: a bare figure above it is °F (common practice, no source)."""
_COUNTS = LazyPattern(
    r"\s*(?:g|ml|kg|l|watts?|w|min(?:ute)?s?|s|secs?|h|hours?|cm|mm|in|inch(?:es)?|x|%|pieces?)\b|\s*[-–/x×]\s*\d", _I
)
_SET_AT = LazyPattern(r"(?:\b(?:at|to|on|oven|fan|is)|[/(:])\s*$", _I)


def _is_of_an_oven(found: re.Match[str], text: str) -> bool:
    """Whether the degrees can be an oven's, and no weight, time or core temperature."""
    bare = not found["scale"] and not re.search(r"°|º|deg", found.group(), _I)
    celsius = int(found["figure"]) if (found["scale"] or "c")[0].casefold() == "c" else int(found["figure"]) / 1.8
    if celsius < OVEN_FROM_C or re.search(
        r"\b(?:internal|core|thermometer|reads?|registers?|reach(?:es)?)\b[^.;]*$", text[: found.start()], _I
    ):
        return False
    set_at = found["before"] or found["fan"] or _SET_AT.search(text[: found.start()])
    return not bare or bool(set_at and not _COUNTS.match(text[found.end() :]))
