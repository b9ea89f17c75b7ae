"""What becomes of an ingredient by the build of a clause: who did, or did not do, what to which name, and when."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from scriptkit.english import clauses as c
from scriptkit.english.clause_amounts import quantity, two_figures
from scriptkit.english.clause_deeds import (
    answered,
    belongs,
    if_only,
    left_somewhere,
    meant,
    none_of_them,
    not_put,
    passed_over,
)
from scriptkit.english.clause_gaps import fronted, made_up_for, not_there
from scriptkit.english.clause_idioms import idioms
from scriptkit.english.clause_measures import measured, planned_and_done
from scriptkit.english.clause_outcomes import outcome
from scriptkit.english.clause_places import elsewhere
from scriptkit.english.clause_stand_ins import stood_in
from scriptkit.english.clause_swaps import lacking, out_so, replaced, run_out
from scriptkit.english.clause_themes import ClauseThemes
from scriptkit.english.clause_unseen import not_seen
from scriptkit.english.clause_waits import comes_later, held_over, stayed
from scriptkit.english.effect_kinds import LATER, UNFILMED, SpokenEffect

_LONGEST = 26
"""Words of a clause that is one; of more no build can be told, for the verbs of it were misheard (common sense, no source)."""
_RULES = (
    made_up_for, fronted, quantity, two_figures, measured, planned_and_done, replaced, stood_in, lacking, out_so, run_out, held_over, comes_later, none_of_them, not_put, passed_over, left_somewhere, if_only, meant, belongs, elsewhere, stayed, not_there, answered, idioms, outcome,
)  # fmt: skip


def _only_thought(reader: ClauseThemes, n: int) -> bool:
    """*I thought I had forgotten it.*"""
    before = reader.clauses[n - 1] if n else None
    return (
        before is not None
        and before.words[-1] in ("thought", "thinking", "wondering", "believe", "feared")
        and not before.denied
    )


def _follows_an_if(reader: ClauseThemes, n: int) -> bool:
    """*If it isn't cold, stop and put it back in the fridge.*"""
    clause = reader.clauses[n]
    for before in reversed(reader.clauses[max(0, n - 2) : n]):
        if before.sentence != clause.sentence or clause.first - before.first > 22:
            return False
        if before.supposes and not before.asks:
            own = clause.subject_at is not None and clause.subject_at >= clause.first
            told = clause.when in (c.PAST, c.MEANT) or (clause.subject in (c.US, c.POINTER, c.THERE) and own)
            return not told
    return False


def clause_effects(words: Sequence[str], plural: Collection[int] = ()) -> Iterator[SpokenEffect]:
    """What each clause tells of the names in it, or of those that its *it* and *them* go back to. ``words``: tokens of a talk, a name
    as ``@`` and its number."""
    reader = ClauseThemes(words, plural)
    for n, clause in enumerate(reader.clauses):
        if (
            reader.tells_a_story(n)
            or len(clause.words) > _LONGEST
            or _only_thought(reader, n)
            or _follows_an_if(reader, n)
        ):
            continue
        told = next((found for rule in _RULES if (found := rule(reader, n)) is not None), None)
        for effect, names in filter(None, (told, not_seen(reader, n))):
            numbers = tuple(dict.fromkeys(int(words[at][1:]) for at in names))
            if numbers or effect == UNFILMED:
                first = min([clause.first, *(at for at in names if at >= clause.first - 6)])
                aside = effect == LATER and ("aside" in clause.words or "side" in clause.words)
                yield SpokenEffect(effect, first, clause.last, numbers, aside)
