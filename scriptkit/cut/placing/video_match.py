"""How likely it is that a transcript is of this recipe's video at all."""

from __future__ import annotations

import math
from collections.abc import Sequence

from scriptkit.cut.placing.common_words import common
from scriptkit.cut.placing.evidence import Query
from scriptkit.cut.placing.speech import Speech
from scriptkit.cut.placing.weights import weights
from scriptkit.english.kitchen_words import verbs

OTHER_VIDEO = 0.05
"""With less confidence in the whole, the transcript is taken for that of another video. Of the benchmark's 160 transcripts 5 fall
below it, all of them garbled; of transcripts held against the recipe of another video, 95 in 100."""
_HEARD = 0.72
"""The share of a recipe's words that its own video says, as in the benchmark."""
_USUAL_WORDS = 675
"""In a transcript from which common_words.csv was counted."""
_RARE = 0.01
_MOST = 4.0
"""No single word may say more (the odds of 55 to 1)."""


def this_video(queries: Sequence[Query], speech: Speech) -> float:
    """0 to 1; from how much likelier what is heard of the recipe's words is in its own video than in any cooking video."""
    of = weights()
    x = of["this video"] + sum(of[f"this video: {name}"] * x for name, x in signs(queries, speech).items())
    return 1 / (1 + math.exp(-max(-30.0, min(30.0, x))))


def signs(queries: Sequence[Query], speech: Speech) -> dict[str, float]:
    """Log odds of the recipe's words, each counted once: of things and of what is done; and both by the root of how many."""
    terms = {t for q in queries for t in q.terms}
    longer = min(2.5, max(0.3, speech.words / _USUAL_WORDS))
    things = done = 0.0
    for term in sorted(terms):
        anywhere = min(0.97, max(0.004, 1 - (1 - min(0.97, common().get(term, _RARE))) ** longer))
        if term in speech.said:
            odds = min(_MOST, math.log(_HEARD / anywhere))
        else:
            odds = math.log((1 - _HEARD) / (1 - anywhere))
        if term in verbs():
            done += odds
        else:
            things += odds
    root = math.sqrt(len(terms) or 1)
    return {"things": things, "done": done, "things by root": things / root, "done by root": done / root}
