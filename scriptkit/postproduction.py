"""What is known once something is filmed or recorded: the take log, the edited cut, and the recorded voice.

The plan is laid on the voice and on the cut here and nowhere else.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from scriptkit.preproduction import Preproduction
from scriptkit.problems import Place, Problem, in_order
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import Reading

if TYPE_CHECKING:
    from scriptkit.captions.voice.voice_over import VoiceOver
    from scriptkit.cut.coverage.answers import GapAnswer
    from scriptkit.cut.placement import Cut
    from scriptkit.cut.transcript.transcript import Transcript
    from scriptkit.nutrition.dish_meal_macros import AllMacros
    from scriptkit.shoot.log.camera_clips import CameraClip
    from scriptkit.shoot.log.clip_matching import ClipMatch
    from scriptkit.shoot.log.take_log import Take, TakeLog
    from scriptkit.shoot.plan import Plan
    from scriptkit.shoot.script.script import Script


class Postproduction(Preproduction):
    """A dish or meal with the files of its shoot and cut. A file that cannot be read raises CannotDo when it is first needed."""

    not_so: Sequence[GapAnswer] = ()
    """What is answered as not so beside what the files of ``answers`` say."""

    def __init__(
        self,
        reading: Reading,
        *,
        cut: str = "",
        transcript: str = "",
        log: str = "",
        voice: str = "",
        kept: str = "",
        clips: str = "",
        clip_shift: str = "",
        answers: Sequence[str] = (),
        film_ms: int = 0,
    ) -> None:
        self.reading = reading
        self.files: dict[str, Sequence[str]] = dict(reading.texts)
        """The lines of every file that was read so far, by its name: to show those that a problem names."""
        self._cut, self._transcript, self._log, self._kept = cut, transcript, log, kept
        self._voice, self._clips, self._clip_shift, self._answers = voice, clips, clip_shift, tuple(answers)
        self._film_ms = film_ms

    @property
    def source(self) -> Dish | Meal:
        """The dish or meal. Raises CannotDo where anything in its files could not be understood."""
        return self.reading.usable()

    @property
    def made_from(self) -> tuple[str, ...]:
        """The names of all files that it is made from, which nothing may be written over."""
        return tuple(
            f for f in (*self.reading.texts, self._cut, self.spoken_file, self._log, self._voice, *self._answers) if f
        )

    # --- the recorded voice -------------------------------------------------------------------------------------------

    @functools.cached_property
    def _planned_script(self) -> Script:
        """The script on the planned times, which a voice is held against."""
        from scriptkit.shoot.plan import plan_of
        from scriptkit.shoot.script.script import script_of
        from scriptkit.shoot.shots.shots import shots_of

        plan = plan_of(self.source)
        return script_of(self.source, plan, shots_of(plan), self.written_macros)

    @functools.cached_property
    def _heard_voice(self) -> tuple[VoiceOver | None, list[Problem]]:
        if not self._voice:
            return None, []
        from scriptkit.captions.voice.voice_over import read_voice

        return read_voice(self._voice, self._planned_script, self.cautions)

    @property
    def voice(self) -> VoiceOver | None:
        """What is read in the recorded voice, and when; None without one, and where it cannot be used."""
        return self._heard_voice[0]

    @property
    def voice_problems(self) -> tuple[Problem, ...]:
        """Why the voice cannot be used, or which lines of it are missing, read twice or changed."""
        return tuple(in_order(self._heard_voice[1]))

    @functools.cached_property
    def plan(self) -> Plan:
        """The planned cut, made to the recorded voice where there is one: which step is on screen from when to when."""
        planned = self._planned_script.plan if self._voice else super().plan
        if self.voice is None:
            return planned
        from scriptkit.cut.plan_to_voice import plan_to_voice

        return plan_to_voice(planned, self.voice.passages, self.voice.length_ms)

    # --- the shoot's log ----------------------------------------------------------------------------------------------

    @functools.cached_property
    def log(self) -> TakeLog | None:
        """The take log as it was read, with what is wrong with it; None without one. Raises CannotDo for an error in it."""
        if not self._log:
            return None
        from scriptkit.input_bytes import bytes_of
        from scriptkit.shoot.log.log_reader import read_log

        log = read_log(bytes_of(self._log), self._log, self.source, self.shots)
        self.files[self._log] = log.lines
        log.usable(self._log)
        return log

    @functools.cached_property
    def takes(self) -> tuple[Take, ...] | None:
        """The takes in the log's order, each with the camera's files that show it where they were looked at; None without a log."""
        if self.log is None or self.clips is None:
            return None if self.log is None else self.log.takes
        clips = self.clips
        return tuple(replace(take, files=clips.files_of(take)) for take in self.log.takes)

    @functools.cached_property
    def _read_clips(self) -> tuple[tuple[CameraClip, ...], list[Problem]]:
        from scriptkit.clip_files import read_clips

        return read_clips(self._clips)

    @functools.cached_property
    def clips(self) -> ClipMatch | None:
        """Which of the camera's files shows which take; None without a log and a folder of clips. Raises CannotDo where the folder has
        none, or the shift cannot be read."""
        if self.log is None or not self._clips:
            return None
        from scriptkit.shoot.log.camera_clips import cameras_of
        from scriptkit.shoot.log.clip_matching import match_clips
        from scriptkit.shoot.log.clip_shifts import clip_shifts
        from scriptkit.shoot.log.take_log import rate_of

        found = self._read_clips[0]
        shifts = clip_shifts(self._clip_shift, tuple(cameras_of(found)))
        return match_clips(self.log.takes, found, rate_of(self.source), shifts)

    def clip_problems(self, command: str) -> list[Problem]:
        """What must be told of the camera's files. ``command``: the line that a shift of their clocks is added to."""
        if self.clips is None or self.log is None:
            return []
        from scriptkit.measure.timecode import frames_to_ms
        from scriptkit.shoot.log.clip_problems import clip_problems
        from scriptkit.shoot.log.take_log import rate_of

        rate = rate_of(self.source)
        lengths = [(take, frames_to_ms(take.frames, rate)) for take in self.log.takes]
        return [*self._read_clips[1], *clip_problems(self.clips, self._clips, command, lengths)]

    @functools.cached_property
    def _on_the_scale(self) -> tuple[Dish | Meal, list[Problem], list[Problem]]:
        from scriptkit.shoot.log.day_weighings import as_weighed

        assert self.log is not None
        return as_weighed(self.reading, self.log.weighings)

    @functools.cached_property
    def macros(self) -> AllMacros:
        """The macros that every paper prints: with what was weighed on the day, where the log has it."""
        if self.log is None or not self.log.weighings:
            return self.written_macros
        from scriptkit.nutrition.dish_meal_macros import all_macros
        from scriptkit.recipe.day_dishes import served_dishes

        weighed = self._on_the_scale[0]
        return all_macros(weighed, served_dishes(weighed))

    @property
    def log_problems(self) -> tuple[Problem, ...]:
        """What is wrong with the log, the weights in it included: those that cannot be right count for nothing."""
        if self.log is None:
            return ()
        return (*self.log.problems, *(self._on_the_scale[1] if self.log.weighings else ()))

    @property
    def read_problems(self) -> tuple[Problem, ...]:
        """What reading the recipe found, less what the weights of the log have answered."""
        if self.log is None or not self.log.weighings:
            return tuple(self.reading.problems)
        return tuple(self._on_the_scale[2])

    @functools.cached_property
    def answers(self) -> tuple[GapAnswer, ...]:
        """What a person answered on the pages. Raises CannotDo where a file of it cannot be read, or is of another recipe."""
        if not self._answers:
            return tuple(self.not_so)
        from scriptkit.cut.coverage.answers import read_answers
        from scriptkit.input_bytes import bytes_of

        of_files = (one for file in self._answers for one in read_answers(bytes_of(file), file, self.source))
        return (*of_files, *self.not_so)

    # --- the cut ------------------------------------------------------------------------------------------------------

    @functools.cached_property
    def _files_of_cut(self) -> tuple[str, str]:
        """The transcript and the file of times: the one of ``cut`` is whichever it is by what is in it, and a cut file is read with
        the transcript that it was made of."""
        from scriptkit.cut.cut_reader import is_transcript

        if self._cut and not self._transcript and is_transcript(self._cut):
            return self._cut, ""
        return self._transcript or self._named_in_cut[0], self._cut

    @functools.cached_property
    def _named_in_cut(self) -> tuple[str, list[Problem]]:
        from scriptkit.cut.cut_reader import transcript_of

        return transcript_of(self._cut) if self._cut and not self._transcript else ("", [])

    @property
    def spoken_file(self) -> str:
        """The transcript's name; empty without one."""
        return self._files_of_cut[0]

    @functools.cached_property
    def transcript(self) -> Transcript | None:
        """What is said in the cut; None without a transcript."""
        file = self._files_of_cut[0]
        if not file:
            return None if self.voice is None else self.voice.transcript
        from scriptkit.cut.transcript.transcript_reader import read_transcript
        from scriptkit.input_bytes import bytes_of
        from scriptkit.timed_text.encodings import decode

        raw = bytes_of(file)
        self.files[file] = decode(raw, file)[0].splitlines()
        return read_transcript(raw, file)

    @functools.cached_property
    def cut(self) -> Cut | None:
        """Where every step stands in the edited video: what is heard, around what a person or an editor has set. Without
        times where the file is of another video; None where no file tells. Where its file does not tell how long it is, the film does."""
        cut = self._cut_as_told
        return replace(cut, length_ms=self._film_ms) if cut is not None and not cut.length_ms else cut

    @functools.cached_property
    def _cut_as_told(self) -> Cut | None:
        if self.voice is not None and not self._cut and not self._transcript:
            from scriptkit.cut.plan_to_voice import cut_to_voice

            return cut_to_voice(self.source, self.plan, self.voice.length_ms)
        from scriptkit.cut.coverage.coverage import only_of_it
        from scriptkit.cut.cut_reader import cut_of, heard_elsewhere
        from scriptkit.cut.placement import MARKER

        file = self._files_of_cut[1] or (self._kept if self.transcript is not None else "")
        known = cut_of(self.source, file, self.takes or ()) if file else None
        if known is not None and self._named_in_cut[1]:
            known = replace(known, problems=(*known.problems, *self._named_in_cut[1]))
        if self.transcript is None or (known and any(p.known_from == MARKER for p in known.placements)):
            return None if known is None else only_of_it(known)
        from scriptkit.cut.coverage.spoken_additions import heard
        from scriptkit.cut.placing.place_steps import place
        from scriptkit.cut.step_starts import from_their_sentences
        from scriptkit.cut.word_clock import from_their_words

        placed = only_of_it(place(self.source, self.transcript, known, self._lines_read))
        placed = from_their_words(placed, heard(self.source, self.transcript, placed))
        placed = from_their_sentences(placed, self.transcript)
        return (
            placed
            if known is None
            else replace(
                placed,
                additions=known.additions,
                problems=(
                    *known.problems,
                    *placed.problems,
                    *(heard_elsewhere(known, placed) if self._named_in_cut[0] else ()),
                ),
                length_ms=max(known.length_ms, placed.length_ms),  # a film may go on after its last words
            )
        )

    def _lines_read(self) -> Mapping[Place, tuple[int, int]]:
        from scriptkit.captions.dialogue.lines_read import where_read

        return where_read(self.script.passages, self.transcript) if self.transcript is not None else {}

    @property
    def by_cut(self) -> bool:
        """Whether the times are the cut's: a step at least is found in it. Else they are the plan's."""
        return self.cut is not None and any(p.time_ms is not None for p in self.cut.placements)

    @functools.cached_property
    def cut_problems(self) -> tuple[Problem, ...]:
        """What must be told of where the steps stand in the cut, the same for every command that is given one."""
        if self.cut is None:
            return ()
        from scriptkit.cut.coverage.coverage import placing_problems

        of_file = () if self.transcript is None else self.transcript.problems
        return tuple(in_order([*of_file, *placing_problems(self.source, self.cut, self.transcript)]))

    @functools.cached_property
    def timed_plan(self) -> Plan:
        """The planned cut laid on the edited one; the plan as it is where no step is found there, or there is no cut."""
        if self.cut is None or not self.by_cut or (self.voice is not None and not self._cut and not self._transcript):
            return self.plan
        from scriptkit.cut.plan_in_cut import plan_in_cut

        return plan_in_cut(self.plan, self.cut)
