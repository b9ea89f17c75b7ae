"""For whom a sentence says that the food is: small children, in pregnancy, in old age, without alcohol."""

from __future__ import annotations

import functools
import re

from scriptkit.english.negation import affirmed
from scriptkit.patterns import LazyPattern

INFANT, TODDLER, PREGNANT, OLDER, NO_ALCOHOL = "infant", "toddler", "pregnant", "older", "no alcohol"
"""As `for:` takes them. An infant is under one year, a toddler under five."""

_I = re.IGNORECASE
_MONTHS = r"(?:[4-9]|1[01]|four|five|six|seven|eight|nine|ten|eleven)"
_YEARS = r"(?:[1-4]|one|two|three|four)"
_PATTERNS = tuple(
    (eater, LazyPattern(pattern, _I))
    for eater, pattern in (
        (INFANT, rf"\b(?:bab(?:y|ies)(?! (?:leaf|leaves|spinach|potato\w*|corn|carrots?|gem|bok choy|pak choi|marrows?|aubergines?|eggplants?|shrimps?|prawns?|rocket|chard|romaine|cucumbers?|fennel|radish\w*|parsnips?|peppers?|new potato\w*|cos|broad|bella|portobello|mushrooms?|arugula|cabbages?|cauliflowers?|sweetcorn|asparagus|ribs|rack|gherkins?|capers|tomato\w*|beets?|courgettes?|artichokes?|plum|squid|octopus|clams|food processor|onions?|turnips?|leeks?|lettuce|greens|kale|broccoli|peas|back|mozzarella))|infants?|newborns?|teeth(?:ing|ers?)|(?:small|little|tiny|toothless|sore) gums|high ?chairs?|wean(?:ing|ed)|first (?:foods?|tastes?|solids?|breakfasts?(?=[^.;]{{0,40}}(?:month|baby|wean|old\b))|spoon\w*|pur[ée]es?|finger foods?)|(?:start(?:s|ed|ing)?|move|moving|begin\w*)(?: \w+){{0,2}} (?:on )?(?:to )?solids?(?: foods?)?|(?:on|onto|for) solids?(?: food)?|(?:six|6) months (?:up|on|and up|onwards?)|from (?:six|6|seven|7) months|baby[- ]led|{_MONTHS}[- ]months?(?:[- ]olds?)?|little ones? under one|under (?:one|1|12 months|twelve months)|bottle[- ]fed)\b"),
        (TODDLER, rf"\b(?:toddlers?|pre-?schoolers?|nursery(?! rhyme| garden| plant)|pre-?school|kindergarten|playgroup|play ?date|day ?care|cr[eè]che|childminder|(?:lad|boy|girl|daughter|son|child|kid|one) of (?:one|two|three|four)|tots?|wee ones|grand(?:children|kids)|small (?:children|child|kids)|(?:little|small|tiny) (?:ones|kids|hands|mouths|eaters)|young children|under[- ](?:fives?|fours?|5s?)|{_YEARS}[- ]year[- ]olds?|(?:1[2-9]|2\d|eighteen|twenty)[- ]months?(?:[- ]old)?s?|kids['’]? (?:plates?|menu|party|lunch\w*|tea|supper)|children['’]?s (?:party|tea|lunch\w*|supper|birthday))\b"),
        (PREGNANT, r"\b(?:pregnan(?:t|cy)|expecting(?! guests| company| friends| visitors)|(?:mums?|moms?|mamas?|mommas?|mothers?|parents?)[- ]to[- ]be|expectant|carrying (?:a baby|a child|twins)|(?:while|when|if) (?:you are|you['’]re|she is) carrying|antenatal|ante-natal|maternity|midwi(?:fe|ves)|with child|eating for two|trimester|baby on the way|(?:baby )?bump(?! (?:the|it|up|into))|months gone|when you are expecting|breast-?feed\w*|nursing (?:mothers?|mums?|a baby)|new mums?)\b"),
        (OLDER, r"\b(?:elderly|older (?:people|eaters|guests|relatives)|old people|seniors?|care homes?|nursing homes?|day centre|great[- ]gran\w*|nans?|nanna|(?:[78]\d|9\d|seventy|eighty|ninety)[- ]year[- ]olds?|grandparents?|grandma|grandpa|granny|over[- ](?:seventies|eighties|70s|80s)|frail)\b"),
        (NO_ALCOHOL, r"\b(?:alcohol[- ]free|non[- ]alcoholic|no[- ]alcohol|teetotal\w*|without (?:any )?alcohol|(?:do(?:es)?(?:n['’]t| not)|who (?:never|cannot|can['’]t)|never) drink(?! (?:it|from|the water))|(?:is|are|am|['’](?:s|re|m)) (?:driving|not drinking)|non[- ]drinkers?|off alcohol|in recovery|abstain\w*|muslim|ramadan|eid|drinks? no alcohol|touch(?:es)? a drop|off the (?:booze|drink)|dry january|designated drivers?|sober|mocktails?|halal)\b"),
    )
)  # fmt: skip
_FAMILY = LazyPattern(
    r"\b(?:whole family|all the family|family (?:supper|dinner|tea|stew|meal|pudding)|children|kids|for (?:a|my|your|the) child|school ?(?:children|kids|lunch\w*|f[êe]te|fair|bake sale|dinners?|trip|picnic|party)|class (?:party|picnic|bake sale|treat)|(?:first|second|third|fourth|fifth|sixth)[- ]grade(?:rs?)?|bake sale|youngsters?|little ones|grandchildren|nieces?|nephews?|pupils|boys and girls"
    r"|(?:five|six|seven|eight|nine|ten|eleven|twelve|thirteen|fourteen|[5-9]|1[0-4])[- ]year[- ]olds?|(?:son|daughter|boy|girl|lad)(?: (?:is|of|turns))? (?:five|six|seven|eight|nine|ten|eleven|twelve|[5-9]|1[0-2]))\b",
    _I,
)
_NOT_FOR = LazyPattern(
    r"\b(?:not|never|no good|nothing|unsuitable|too \w+|keep (?:it |this )?(?:away )?from|grown[- ]?ups only|adults only)\b[^.;!?]*", _I
)  # fmt: skip


@functools.lru_cache(maxsize=1024)
def eaters_in(text: str) -> frozenset[str]:
    """Whom the text says that it is for; whom it says that it is *not* for is none of them.

    >>> sorted(eaters_in("A first breakfast for your eight-month-old.")), sorted(eaters_in("Not for babies."))
    (['infant'], [])
    """
    told = _NOT_FOR.sub(" ", affirmed(text))
    # *without alcohol*, *do not drink* are said by denying
    return frozenset(e for e, pattern in _PATTERNS if pattern.search(text if e == NO_ALCOHOL else told))


@functools.lru_cache(maxsize=1024)
def is_for_children(text: str) -> bool:
    """Whether the text says that children eat it too.

    >>> is_for_children("A stew for the whole family."), is_for_children("Only for grown-ups.")
    (True, False)
    """
    told = _NOT_FOR.sub(" ", affirmed(text))
    return _FAMILY.search(told) is not None or bool(eaters_in(text) & {INFANT, TODDLER})
