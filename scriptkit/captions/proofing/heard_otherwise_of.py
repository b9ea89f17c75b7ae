"""What of a transcript was likely misheard, as the coverage of a cut asks for it."""

from __future__ import annotations

from collections.abc import Sequence

from scriptkit.captions.proofing.misheard import due_in, misheard_places, words_of_dishes
from scriptkit.cut.coverage.heard_otherwise import HeardOtherwise
from scriptkit.cut.transcript.transcript import Transcript
from scriptkit.recipe.dish import Dish
from scriptkit.timed_text.reading import CaptionFile, ReadCue


def heard_otherwise(transcript: Transcript, dishes: Sequence[Dish]) -> list[HeardOtherwise]:
    """Each word of the talk that was likely another one, the same as the proof of captions tells."""
    lines = transcript.lines
    cues = tuple(ReadCue(one.start_ms, one.end_ms, one.text, one.line) for one in lines)
    file = CaptionFile(file=transcript.file, kind="srt", cues=cues, repairs=())
    found = []
    for place in misheard_places(file, words_of_dishes(dishes), due_in(dishes)):
        line = lines[place.cue]
        share = place.start / max(1, len(line.text))
        time_ms = line.start_ms + round((line.end_ms - line.start_ms) * share)
        found.append(HeardOtherwise(time_ms, line, place.heard, place.meant))
    return found
