"""Turns of phrase that go by the noun, and not by a verb of putting: *minus the yoghurt*, *the mint is sitting this one out*, *a heavy
hand with the nutmeg*, *the apricots you see are in fact sultanas*."""

from __future__ import annotations

from scriptkit.english import clauses as c
from scriptkit.english.clause_lexicon import lexicon
from scriptkit.english.clause_themes import ALMOST, ClauseThemes, Told
from scriptkit.english.clauses import Clause
from scriptkit.english.effect_kinds import INSTEAD, LATER, LEFT_OUT, LESS, MORE
from scriptkit.patterns import SoughtPattern, sought

_X = r"(?:(?:the|my|our|any|that|those|this|these|all|of|some|whole|as|much|amount|usual|last|rest|remaining) )*(?:(?!of|the|in|to|with|and|not|for)\w+ )?@\d+"
_OR_IT = rf"(?:{_X}|\bit|\bthey|\bthat|\bthem|\bthose)"
_BE = r"(?:is|are|was|were)"
_AD = r"(?: (?:just|simply|sadly|really|actually|also|all|both|still|clearly|obviously|now|then|even|only|too|already|being|got|been|well|quite|rather|about|definitely|most))*"
_HERE = r"(?:in (?:there|here|this|it|mine|that|these|those)(?: \w+)?|on (?:there|here|this|it|mine|these|those)|today|tonight|this (?:time|evening|morning)|at all|any ?where|in sight|to be seen|(?:in|on) (?:this|that|these) \w+)"
_ENDS = r"(?=$| [.,]| (?:and|so|but|because|which|then|i|we|yet|sorry|today|tonight|this|at all)\b)"

_NOT_THERE = tuple(
    SoughtPattern(p)
    for p in (
        r"\b(?:put|added|used|poured|stirred|got)(?: in| on)? neither (?:\S+ ){0,4}@\d+ nor (?:\S+ ){0,4}@\d+",
        rf"\bneither {_X} nor {_X}(?= (?:\w+ )?(?:have|has|did|was|were|is|are|went|go|made|got|ended|came)\b)",
        rf"{_X} (?:is|are|was|were) (?:the (?:one|only)|one|what|something|the)(?: (?:thing|bit|item|ingredient|part))?(?: that| which)?(?: (?:i|we|is|are|has|have|was|got|had|went|seem to have|managed to))*{_AD} (?:missing|lacking|absent|not (?:in|on)|forgot\w*|forget|left (?:out|behind)|skipped|missed|omitted|overlooked)",
        rf"\b(?:minus|sans) {_X}",
        r"\b(?:was|were|is|are|has|have|had|got) (?:not|never)(?: \w+)? (?:been )?given @\d+(?! (?:yet|until|till))",
        rf"{_OR_IT} (?:stays?|stayed|(?:is|are) staying|will stay|will be staying) out(?: of (?:it|this|here|there|mine|that))?{_ENDS}",
        rf"{_OR_IT}{_AD} (?:(?:{_BE}|am){_AD} )?not{_AD} (?:in|on)(?: (?:there|here|this|it|the \w+|this \w+))?{_ENDS}",
        rf"{_OR_IT} (?:ended|wound|finished|{_BE}|went|got|stayed|found (?:its|their) way|has gone|have gone){_AD}(?: up)? (?:straight |right )?back (?:in|into|on|onto|to|inside) (?:the|its|their|my) \w+",
        rf"{_OR_IT}{_AD} (?:(?:{_BE}|has|have|had|got|gets|get|will be){_AD} )?(?:(?:sits?|sitting|sat) (?:this (?:one )?|tonight |today )out|(?:having|has|have|got|taking|given|take|taken)?(?: \w+)? ?(?:the|a) (?:day|night|evening|week) off|on holiday|miss(?:es|ed|ing)? (?:its|their|the) (?:cue|moment|turn|slot|chance|boat|bus|window)|bowed out|no part (?:in|of)|not part of (?:this|it|today|the)|absent without leave|gone (?:missing|astray|awol|walkabout)|failed to (?:show|turn|appear|arrive|make)|nowhere (?:near|in|to)|conspicuous\w* (?:absent|by)|a no ?-?show|off the (?:menu|list|bill)|surplus to)",
        rf"\b(?:that|this|there) (?:is|goes) {_X} (?:gone missing|gone astray|forgotten|left (?:out|behind)|missed|missing)",
        rf"\b(?:cross|strike|scratch|delete|rub|score) (?:out |off )?{_X}(?= (?:off|out|from (?:the|your|this))\b)",
        rf"\b(?:no|not any|not a(?: single)?(?: \w+ of)?|zero|not one)(?: \w+)? @\d+(?: \w+)? {_HERE}",
        rf"{_OR_IT} (?:did not|never|has not|have not|had not|failed to){_AD} (?:get (?:in|on|added|put|used|a look|an? \w+ in|invited)|got (?:in|on|added|put|used|a look|invited)|make (?:it|the)|made (?:it|the)|join|featur\w+|show(?:ed)? (?:up|its|their)|turn(?:ed)? up|find (?:its|their)|found (?:its|their)|take part|took part|leave the|left the|see the|saw the|reach|come near|came near|come out of|came out of|end(?:ed)? up|land(?:ed)?|appear|materiali[sz]e|meet the|met the|touch(?:ed)? the|go near|went near|cross(?:ed)? my)\w*(?! (?:camera|film|tape))",
        rf"\b(?:leaves?|leaving|left|had|having|made|making|kept|done|doing|serving|served|eating|plating|have|are|is|being|been)(?: (?:us|me|this|it|mine|them|that|these|those|one|batch|pot|pan|version|plate|bowl|dish|here|today|tonight|all|the))* (?:without|minus)(?: (?:any|a))? {_X}",
        rf"\b(?:forgot|forgotten|missed|skipped|omitted|overlooked|neglected)(?: \w+){{0,3}} (?:and|,)? ?(?:that|it) (?:is|was) {_X}",
        rf"{_X}{_AD} (?:were|was|is|are|got) (?:never|not){_AD} (?:used|added|opened|touched|chopped|peeled|put|needed|weighed|unpacked|bought|part|stirred|poured|tipped|grated|squeezed|included|going in)",
        rf"\b(?:i|we) (?:never|did not|have not|had not|forgot to|not){_AD} (?:give|given|gave|do|did|done|get|got) (?:it|them|this|that|these|the \w+) (?:any|its|their|the|a|enough|some)? ?(?:\w+ of )?@\d+",
    )
)
_LOOKED_FOR = SoughtPattern(
    rf"\b(?:(?:do not|no (?:use|point|good)|not worth|stop|no need)(?: \w+){{0,2}} (?:look|search|wait|listen|hunt|hop)\w* (?:out )?for|you (?:will|can|could|would) not (?:find|taste|see|spot|detect|smell|come across|get|be getting|notice)(?: any| a| the)*|you (?:will|can|could) (?:look|search|hunt) (?:in vain |all \w+ )?for) {_X}(?: (?:\w+ )?{_HERE}|{_ENDS})"
)
_OUR_REASON = SoughtPattern(
    r"\b(?:in this|in here|in mine|on mine|today|tonight|this time|because|(?:i|we) (?:had|have|did|never|forgot|left|am|are|could|ran|was|would no)|there is|there are|it is|they are|mine)\b"
)

_BARELY = r" (?:hardly|barely|scarcely|not even|not quite|nowhere near|no more than|maybe|perhaps|at most)"
_IS_BARELY = SoughtPattern(
    rf"@\d+ (?:is|are|was|were|makes|comes to|came to|weighs|weighed){_BARELY} (?:about |around |a |an )?(?:\w+ ){{1,3}}?(?:grams?|kilos?|mils?|millilitres?|litres?|cups?|cloves?|sprigs?|leaves|spoon\w*|tea ?spoon\w*|table ?spoon\w*|handfuls?|pinch|half|half of)\b"
)
"""*This parsley is hardly five grams.*"""
_LESSER = tuple(
    SoughtPattern(p)
    for p in (
        r"\b(?:only|just|barely|scarcely|hardly)(?: (?:had|got|have|found|managed|put|used|added|gave|left|scraped|squeezed|poured|enough|about|ever|a|an|the|that|this|one|two|three|half|last|bit|tiny|little|small|mean|sad|of|few|couple|me|with|them|it))*(?: (?!than|not|for)\w+)?(?: of)?(?: the| my)? @\d+",
        rf"\b(?:there (?:was|is|were|are) not|(?:i|we) (?:did not|do not|have not|had not)(?: (?:quite|really|actually))* (?:have|got|get|use|put)|(?:that|this|it|which) (?:was|were|is|are) not)(?: \w+)?? (?:enough|as (?:much|many)|that (?:much|many)) {_X}",
        rf"\b(?:held|holding|hold|holds|pulled|cut|cutting) (?:right |well |way )?(?:back|down) on {_X}",
        rf"\b(?:light|short|thin|low|shy|mean|stingy|tight|frugal|miserly|sparing|careful|down|under|cautious|timid|restrained|meagre)(?: (?:on|of|with|by))+ (?:\w+ )?{_X}",
        rf"\b(?:could|would) (?:have |do |done |of )+(?:done |do )?with (?:more|another|extra)(?: \w+)? {_X}",
        rf"\b(?:ration\w*|eke\w* out|scrimp\w*|skimp\w*|undershot|short-?changed|under-?(?:did|poured|dosed|weighed|measured)|stretched|stinted)(?: (?:on|out))? {_X}",
        rf"@\d+{_AD} (?:ran|run|running|came|fell|comes|falls|{_BE}|am|are) (?:a bit |a little |rather |very |well |way )?(?:short|shy|under|light|scarce|thin on)",
        rf"\b(?:the|my|our|these|those|this) @\d+ {_BE}{_AD}(?: (?:a bit|a little|a touch|on the))? (?:sparse|scant|scanty|meagre|skimpy|thin on the ground|few and far between|in short supply|(?:thin|small|light|mean|low) side)\b",
        rf"@\d+ (?:that is|is|are|was|were){_AD} (?:less|fewer|smaller|lower) than (?:it|i|we|the|what|planned|written|should|there)",
    )
)
_LESSER_OF_IT = SoughtPattern(
    r"\bnot (?:quite |nearly )?(?:the|its|my|your|our) (?:full|whole|right|usual|complete|entire|proper|stated|written|planned|required)(?: \w+)?(?=$| )|\bhalf[- ]empty\b|\b(?:less|fewer|lower|smaller) than (?:(?:it|i|we|the \w+|what)(?: \w+)? (?:says?|said|should|ought|wrote|written|planned|asks?|asked|calls?|needs?|wants?|told)|planned|written|intended)|\b(?:so|only|just) (?:about |around |roughly )?(?:half|a third|a quarter|a fraction)(?: of (?:it|them|that|what))?(?: (?:is|are|went|got|made))? (?:in|on)\b|\ball (?:i|we) (?:had|could find|could get|got|found)\b"
)
_GREATER = tuple(
    SoughtPattern(p)
    for p in (
        rf"\b(?:a bit|a little|a touch|rather|too|very|quite|pretty|so|way too|far too) (?:heavy|generous|free|liberal|lavish|heavy[- ]handed|enthusiastic) (?:on|with) {_X}",
        rf"\b(?:a |my )?(?:heavy|generous|loose|slippery|clumsy|reckless) (?:hand|wrist|pour|grip)(?: (?:there|here|today))? (?:with|on|of) {_X}",
        rf"\bmake (?:that|it) (?:two|three|four|five|six|eight|ten|double|twice|another)(?: \w+){{0,2}}?(?: of)? {_X}",
        rf"\b(?:overshot|over-?(?:did|poured|dosed|weighed|measured|done)|doubled|trebled|upped|topped up)(?: (?:on|it with))? {_X}",
        rf"\b(?:went|gone|got|going) (?:a bit |a little |rather |completely |totally |slightly )*(?:mad|to town|wild|crazy|overboard|heavy|big|over the top|too far|carried away)(?: (?:with|on))+ {_X}",
        rf"@\d+{_AD} (?:got away from|ran away with|got the better of|came out (?:too|very|in a|all|faster)|(?:poured|fell|shot|rushed|slid|tumbled) (?:out|in))",
        rf"@\d+ (?:is|are|was|were){_AD} (?:(?:way|far|well|much|a lot|a good bit|rather|some) )?(?:more|over|above|past|higher|bigger) (?:than )?(?:it|i|we|the|what|planned|written|should|there)\b",
        r"\b(?:extra|bonus|second|additional|spare) (?:\w+ of )?@\d+ (?:also |then |just |somehow )?(?:went|fell|made its|ended|slipped|found its|landed|crept)",
    )
)
_GREATER_OF_IT = SoughtPattern(
    r"\b(?:was|is) (?:a|one) \w+ too (?:far|many|much)\b|\b(?:much|far|way|rather|a lot|a good deal|well|quite a bit|considerably) (?:more|over)(?: than)?(?: (?:half|a|an|one|two|the|i|we|it|what|that|you|planned|written|intended)\b| $)|\bthe (?:whole |entire )?lot (?:went|fell|came|is|slid|shot) (?:in|out)\b|\b(?:double|twice|triple|three times) (?:what|that|the amount|the dose|as much)\b"
)
_SWAPPED = tuple(
    SoughtPattern(p)
    for p in (
        rf"\b(?:posing|masquerading|passing|disguised|playing|dressed(?: up)?|deputi[sz]ing|understudying|subbing|covering|filling|stepping|standing|pinch[- ]hitting|acting|doubling|moonlighting|pretending|pressed into service)(?: (?:itself|off|up))? (?:as|for|in for|to be|the (?:part|role) of|in the (?:part|role) of) {_X}",
        rf"{_X}{_AD} (?:has |have |had |is |are |was |were |got |been |being |gets )*(?:turned into|given way to|gave way to|made way for|making way for|make way for|ousted by|swapped|switched|exchanged|traded|replaced|substituted|morphed into|bumped for|represented (?:\w+ )?by|played (?:\w+ )?by|taken over by|stood in for)",
        rf"\bfor {_X} (?:,? ?)(?:read|think|(?:i|we) (?:have |had )?(?:used|taken|took|substituted|had to))\b",
        rf"\bpretend(?: that)?(?: (?:it|that|this|these|those|they) (?:is|are|were|was))? {_X}",
        rf"\bwhere {_X} (?:should|ought|would|was|were|is meant|are meant)(?: (?:to|going|supposed|meant))*(?: (?:be|have|go|been))+",
        rf"\b(?:it|that|this|those|these|they) (?:was|were) (?:meant|supposed|going|due) to be {_X}(?= (?:[.,]|but|and))",
    )
)
_IS_ANOTHER = SoughtPattern(
    r"@\d+(?: (?:that |which )?(?:you|we|i) (?:can see|see|saw|are (?:looking at|seeing|getting|watching)|have|had|used|put|added)(?: \w+)?| (?:in|on) (?:there|here|this|the \w+))?(?: (?:is|are|was|were))(?: (?:in fact|in truth|of course|actually|really|just|not @\d+|today|this time|,|but|plain|ordinary|dried|frozen|only))* "
)
_CAN_WAIT = SoughtPattern(
    rf"{_OR_IT} (?:(?:has|have|will have|is going to have|are going to have|needs|need) to|can|will|must|should|may|had better)(?: (?!not\b|never\b)\w+)? "
    r"(?:wait|hang (?:on|about|around|back)|hold (?:on|off|fire)|sit tight|stay put|bide)(?= (?:a|an|for|till|until|there|where)\b|$| [.,])|"
    r"@\d+ waits?(?= [.,]|$| (?:for (?:now|its|their)|until|till|here|there|on the|by the)\b)"
)
_WAITS = tuple(
    SoughtPattern(p)
    for p in (
        rf"{_X} , ?(?:i|we) (?:will|am going to|are going to)(?: \w+){{1,4}} (?:last|later|at the end|afterwards|right at the end|at the table)\b",
        rf"\b(?:come|coming|get|getting) (?:back )?(?:round )?to {_X} (?:later|in a (?:bit|minute|moment|second)|at the end|afterwards|shortly|soon)",
        rf"\b(?:not|no) (?:time|the time|the moment) (?:for|to \w+) {_X}",
        rf"{_X} (?:follows?|is following|are following|to follow|will follow)(?: on)? (?:when|once|after|later|afterwards|in a|at the)\b",
        rf"\b(?:leaving|leave|keeping|keep|saving|save|holding|hold|parking|park|postponing|delaying|(?:sitting|sit|hanging|hang|holding|hold|clinging) on(?: to)?|(?:hanging|hang|holding|hold) onto|guarding) {_X} (?:for|until|till|to)(?: (?:the (?:end|last|table|plate|finish|very)|later|last|after|when|we|i|it|serving|just|right))+",
    )
)
_GOES_AFTER = SoughtPattern(
    rf"{_OR_IT} (?:goes|go|comes|come|is going|are going|will go|will come|can go|gets added|get added)(?: (?:in|on|over))?(?: \w+)? (?:after|last|once|when|later|at the (?:very )?(?:end|table|last)|right at|just before|with|in a (?:bit|minute|moment)|further on|next)\b"
)
_TAKEN_BACK = SoughtPattern(
    r"\b(?:ignore|forget|scratch|strike|disregard|never mind|no|not (?:yet|now)|wait|hang on|hold on|hold fire|correction|my mistake|said|told|take that back|change of plan|too (?:early|soon)|put (?:it|that|them) (?:down|away))\b"
)
_GENERIC = SoughtPattern(
    r"\b(?:if|unless|could|might|may|would(?! you believe)|usually|normally|never mind|people|some|always|often|when you|or you can|you can (?!cross|scratch|strike|delete|take|look)|optional|allerg\w+ to(?! it))\b"
)
_ADVICE = SoughtPattern(
    r"(?:please |so |and |but |just )*(?:do not|never|no need|try not|you do not|be|keep)\b(?! (?:go |even |bother )*(?:look|search|wait|listen|hunt|hop))"
)
"""*Don't be shy with the garlic.*"""
_LATER_WORD = SoughtPattern(r"\b(?:yet|until|till|before|for now|at this (?:point|stage))\b")


def idioms(r: ClauseThemes, n: int) -> Told | None:
    """What a turn of phrase tells of a name in it, or of the one that its pronoun goes back to."""
    clause = r.clauses[n]
    if clause.supposes or clause.asks or clause.subject == c.OTHER or ALMOST.search(clause.text):
        return None
    wide = r.to_stop(n, 9)
    if _GENERIC.search(clause.text) or clause.lead in ("when", "whenever", "once") or _ADVICE.match(clause.text):
        return None
    return _not_there(r, n, wide) or _another(r, n) or _waits(r, n, wide) or _how_much(r, n, wide)


def _found(r: ClauseThemes, n: int, patterns: tuple[SoughtPattern, ...] | SoughtPattern, wide: str) -> list[int]:
    """The names of the first pattern that fits from within the clause; of *it* and *they*, what they go back to."""
    clause = r.clauses[n]
    for pattern in r.in_talk(patterns if isinstance(patterns, tuple) else (patterns,)):
        found = pattern.search(wide)
        if found is None or found.start() >= len(clause.text):
            continue
        if "@" not in found.group():
            pointer = found.group().split(" ", 1)[0]
            return r.back(n, [pointer])[:1] if _near(r, n) else []
        first = clause.first + wide[: found.start()].count(" ")
        last = clause.first + wide[: found.end()].count(" ")
        names = [k for k in range(first, min(last + 1, len(r.words))) if r.words[k][0] == "@"]
        if "neither" in found.group():
            return names
        return r.group(names[0], r.home(names[0]))
    return []


def _near(r: ClauseThemes, n: int) -> bool:
    """Whether a name stands close enough before for a pronoun to mean it."""
    clause = r.clauses[n]
    return any(r.words[k][0] == "@" for k in range(max(0, clause.first - 18), clause.first))


def _not_there(r: ClauseThemes, n: int, wide: str) -> Told | None:
    clause = r.clauses[n]
    if (found := _found(r, n, _LOOKED_FOR, wide)) and _OUR_REASON.search(r.near(n, 0, 14)):
        return LEFT_OUT, found
    if (
        clause.subject == c.YOU
        and clause.when != c.ORDER
        and not clause.has("notice", "noticed", "see", "spotted", "spot")
    ):
        return None
    if clause.when in (c.MODAL, c.MEANT) or (clause.has("without") and clause.has("never")):
        return None
    found = _found(r, n, _NOT_THERE, wide)
    if not found or sought(
        r"\b(?:nothing|no|not) (?:is |was )?(?:missing|forgotten|left out)\b|\bno (?:\w+ )?@\d+ (?:, )?no\b", wide
    ):
        return None
    if sought(
        r"\b(?:what|how|why|where|which|like|need|needs|needed|want|enough|too|frozen|raw|hot|cold|camera|film|shot|screen|frame|video)\b",
        clause.text,
    ):
        return None
    waits = clause.when != c.PAST and _LATER_WORD.search(r.to_stop(n, 2))
    return (LATER if waits else LEFT_OUT), found


def _another(r: ClauseThemes, n: int) -> Told | None:
    """*The apricots you see are in fact sultanas*, *parsley posing as coriander*."""
    clause = r.clauses[n]
    if clause.when in (c.MODAL, c.FUTURE) or (clause.when == c.ORDER and not clause.has("pretend", "read")):
        return None
    if clause.denied and not clause.has("meant", "supposed"):
        return None
    found = _found(r, n, _SWAPPED, clause.text + r.near(n, 0, 3)[len(clause.text) :])
    if found:
        return INSTEAD, found[:1]
    if (said := _IS_ANOTHER.search(clause.text + " ")) and sought(
        r"\b(?:see|looking|seeing|in fact|in truth|actually|really|today|this time|saw|not @)", said.group()
    ):
        after = clause.first + clause.text[: said.end()].count(" ")
        if (
            r.words[after : after + 1]
            and r.words[after] not in c.AUXILIARIES
            and any(_is_food(r.words[k]) for k in range(after, min(clause.last + 1, after + 2)))
        ):
            return INSTEAD, [clause.first + clause.text[: said.start()].count(" ")]
    return None


def _is_food(word: str) -> bool:
    return any(s.kind == "food" and s.form in ("base", "s") for s in lexicon().get(word, ()))


def _waits(r: ClauseThemes, n: int, wide: str) -> Told | None:
    clause = r.clauses[n]
    if clause.subject == c.YOU or clause.when == c.PAST:
        return None
    if found := _found(r, n, _CAN_WAIT, wide):
        return LATER, found
    if clause.when == c.MODAL:
        return None
    if found := _found(r, n, _WAITS, wide):
        return LATER, found
    back = " ".join(r.words[max(0, clause.first - 12) : clause.first])
    if not clause.denied and _TAKEN_BACK.search(back) and (found := _found(r, n, _GOES_AFTER, wide)):
        return LATER, found
    return None


def _how_much(r: ClauseThemes, n: int, wide: str) -> Told | None:
    clause = r.clauses[n]
    if clause.subject == c.YOU or (
        clause.when in (c.MODAL, c.FUTURE, c.ORDER) and not clause.has("make", "say", "call", "done")
    ):
        return None
    if found := _found(r, n, _IS_BARELY, clause.text):
        return LESS, found[:1]
    if _told_amount(clause) and (found := _found(r, n, _LESSER, clause.text)):
        return LESS, found[:1]
    if not clause.denied and (found := _found(r, n, _GREATER, wide)):
        return MORE, found[:1]
    for effect, pattern in ((LESS, _LESSER_OF_IT), (MORE, _GREATER_OF_IT)):
        hit = pattern.search(clause.text + " ")
        if hit and (effect == LESS or not clause.denied) and (theme := _in_sentence(r, n, hit.start())):
            return effect, theme
    return None


def _told_amount(clause: Clause) -> bool:
    """Whether it tells of what we had or of what is there: *only* alone also says that nothing else goes in."""
    if not clause.has("only", "just", "barely", "scarcely", "hardly"):
        return True
    had = clause.has("had", "got", "found", "managed", "left", "scraped", "squeezed", "enough")
    return (
        had
        and clause.when in (c.PAST, c.PRESENT)
        and clause.subject in (c.US, c.THERE, c.NO_ONE)
        and not sought(r"\bjust (?:had|got|put|added|left)\b", clause.text)
    )


def _in_sentence(r: ClauseThemes, n: int, place: int) -> list[int]:
    """The nearest name of the same sentence: before the place in the clause's text, in the clauses before it, else after it."""
    clause = r.clauses[n]
    at = clause.first + clause.text[:place].count(" ")
    if names := clause.names(None, at):
        return names[-1:]
    for m in range(n - 1, max(-1, n - 3), -1):
        before = r.clauses[m]
        if before.sentence != clause.sentence or before.supposes:
            break
        if names := before.names():
            return names[-1:]
    following = r.clauses[n + 1] if n + 1 < len(r.clauses) else clause
    return (clause.names(at) or (following.names() if following.sentence == clause.sentence else []))[:1]
