"""One production: a recipe, and the cut, take log and caption profile that go with it; every command asks it for what is computed.

The plan, the cut and the overlay are joined here and nowhere else.
"""

from __future__ import annotations

import functools
import os
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from scriptkit.postproduction import Postproduction
from scriptkit.preproduction import Overlay, Preproduction
from scriptkit.problems import CannotDo, Place, Problem, in_order, warning
from scriptkit.recipe.reader import Reading, read_source, read_source_text

if TYPE_CHECKING:
    from scriptkit.captions.composing.cue_limits import CueLimits
    from scriptkit.captions.profile import Profile
    from scriptkit.cut.coverage.coverage import Coverage
    from scriptkit.cut.coverage.heard_otherwise import HeardOtherwise
    from scriptkit.cut.coverage.rescue import Rescue
    from scriptkit.cut.word_clock import WordClock
    from scriptkit.drawing.canvas import Canvas
    from scriptkit.drawing.layout import Fonts
    from scriptkit.measure.timecode import FrameRate
    from scriptkit.publish.chapters import Chapters
    from scriptkit.publish.publication import Publication
    from scriptkit.timed_text.cue import Cue


class Production(Postproduction):
    """A dish or meal with what is known of its video. Each result is computed when it is first asked for, and kept.

    ``reading`` comes of :func:`read` or :func:`read_text`. ``cut``: a file that tells where the steps stand (a cut file, a
    marker list, a transcript). ``transcript``: what is said, where ``cut`` does not tell it. ``log``: the take log (CSV). ``voice``: the recorded voice-over (any sound file).
    ``profile``: a caption profile by name, or a file (.yaml); ``fps``: a frame rate by name, empty: the film's. ``kept``: a
    cut file made before, whose steps set by hand stay where a transcript is placed again. ``clips``: a folder of the camera's files, which
    a circled take is proven by; ``clip_shift``: how far the camera's clock is behind the log's (``7:12``, ``A=7:12,B=-0:30``).
    ``answers``: files that the pages of the coverage report saved. ``film_ms``: how long the film is, 0 where nobody knows.

    What needs the recipe raises CannotDo, with every problem, where the file has an error; ``problems`` never does. A file
    of the cut, log or profile that cannot be read raises CannotDo when it is first needed.
    """

    def __init__(
        self,
        reading: Reading,
        *,
        cut: str = "",
        transcript: str = "",
        log: str = "",
        voice: str = "",
        profile: str = "",
        fps: str = "",
        kept: str = "",
        clips: str = "",
        clip_shift: str = "",
        answers: Sequence[str] = (),
        film_ms: int = 0,
    ) -> None:
        super().__init__(
            reading,
            cut=cut,
            transcript=transcript,
            log=log,
            voice=voice,
            kept=kept,
            clips=clips,
            clip_shift=clip_shift,
            answers=answers,
            film_ms=film_ms,
        )
        self._profile, self._fps = profile, fps

    def of_film(self, length_ms: int) -> Production:
        """The same over a film of this length."""
        return Production(
            self.reading, cut=self._cut, transcript=self._transcript, log=self._log, voice=self._voice, profile=self._profile,
            fps=self._fps, kept=self._kept, clips=self._clips, clip_shift=self._clip_shift, answers=self._answers, film_ms=length_ms,
        )  # fmt: skip

    # --- problems -----------------------------------------------------------------------------------------------------

    @functools.cached_property
    def problems(self) -> tuple[Problem, ...]:
        """Every problem: of the recipe, and of the cut and the log where there are any. In the order
        of the files. Raises CannotDo only where the cut or the log cannot be read."""
        found = [*self.recipe_problems]
        if self.is_usable and self.has_coverage:
            found += self.coverage_problems
        return tuple(in_order([*found, *self._of_times]))

    @property
    def _of_times(self) -> tuple[Problem, ...]:
        if not self.is_usable:
            return ()
        return self.timing_problems if self.cut is not None else self.voice_problems

    @functools.cached_property
    def recipe_problems(self) -> tuple[Problem, ...]:
        """What is wrong with the written dish or meal, also where it could be read in part only."""
        from scriptkit.checks import captions, check, silences

        if self.reading.source is None:
            return tuple(self.reading.problems)
        if not self.is_usable:
            return tuple(in_order([*self.reading.problems, *check(Preproduction(self.reading.source))]))
        replaced = (
            [captions, silences] if self.by_cut else []
        )  # the overlay is laid on the cut then, and its silences are others
        return tuple(in_order([*self.reading.problems, *check(self, without=replaced)]))

    @functools.cached_property
    def is_usable(self) -> bool:
        """Whether every file of the recipe could be understood."""
        try:
            self.reading.usable()
        except CannotDo:
            return False
        return True

    # --- coverage -----------------------------------------------------------------------------------------------------

    @property
    def has_coverage(self) -> bool:
        """Whether there is a log, a cut or a transcript to hold the recipe against."""
        return bool(self._log or self._cut or self._transcript)

    @functools.cached_property
    def coverage(self) -> Coverage:
        """Every addition against plan, log, transcript and cut, as far as they are given."""
        from scriptkit.cut.coverage.coverage import coverage_of

        return coverage_of(
            self.source,
            self.shots,
            takes=self.takes,
            transcript=self.transcript,
            cut=self.cut,
            macros=(lambda: self.macros) if self.transcript is not None else None,
            cautions=lambda: self.cautions,
            answers=self.answers,
            day=lambda: self.order.cooked,
            otherwise=self._heard_otherwise,
        )

    def _heard_otherwise(self) -> Sequence[HeardOtherwise]:
        from scriptkit.captions.proofing.heard_otherwise_of import heard_otherwise

        return [] if self.transcript is None else heard_otherwise(self.transcript, self.dishes)

    @functools.cached_property
    def word_clock(self) -> WordClock | None:
        """When the additions and the figures are heard in the cut, or their circled takes are seen in it; None without a cut."""
        from scriptkit.cut.word_clock import SILENT, juices_heard, word_clock_of

        if not self.by_cut or self.cut is None:
            return None
        heard = None if self.transcript is None else self.coverage
        clock = word_clock_of(heard.rows, heard.claims) if heard else SILENT
        if self.transcript is not None:
            clock = replace(clock, juices=juices_heard(self.cut, self.transcript))
        return replace(clock, additions={**self.cut.additions, **clock.additions}) if self.cut.additions else clock

    @property
    def said_wrongly(self) -> tuple[Problem, ...]:
        """Figures that the cut says otherwise than the recipe, and what it says to have left out, as far as nothing corrects them: what is
        published or laid over it would contradict the video."""
        if self.transcript is None or not self.is_usable:
            return ()
        return tuple(p for p in self.coverage.problems if p.code.startswith(("spoken-", "said-")))

    @property
    def coverage_problems(self) -> tuple[Problem, ...]:
        """What the log and the coverage tell, the placing of the steps among it."""
        return (*self.log_problems, *self.coverage.problems)

    @property
    def unshown_corrections(self) -> tuple[Problem, ...]:
        """Corrections of the file that find no room over the picture at their moment."""
        if not any(c.at_ms is not None and c.only != "description" for c in self.source.published.corrections):
            return ()
        return tuple(
            p for p in self.overlay[1] if p.code == "caption-no-room" and p.message.startswith("“Correction: ")
        )

    @functools.cached_property
    def rescues(self) -> tuple[Rescue, ...]:
        """How to rescue each addition that is not on camera."""
        return self.rescues_of(self.coverage)

    # --- captions -----------------------------------------------------------------------------------------------------

    @functools.cached_property
    def profile(self) -> Profile:
        """The caption profile. Raises CannotDo where there is none of its name, or its file is wrong."""
        from scriptkit.captions.profiles import USUAL_PROFILE, profile_of

        return profile_of(self._profile or USUAL_PROFILE)

    @functools.cached_property
    def rate(self) -> FrameRate:
        """The frame rate that was asked for, else the film's. Raises CannotDo for one that there is not."""
        from scriptkit.measure.timecode import RATES, rate_named

        return rate_named(self._fps) or RATES[self.source.film.frame_rate]

    @functools.cached_property
    def room(self) -> CueLimits:
        """The limits of a cue: the profile's at the frame rate."""
        from scriptkit.captions.composing.cue_limits import cue_limits_for

        return cue_limits_for(self.profile, self.rate)

    @functools.cached_property
    def overlay(self) -> Overlay:
        """The overlay on the cut, and on the plan where there is none; and what of it found no room."""
        return self.overlay_on(self.timed_plan) if self.by_cut else self.planned_overlay

    @functools.cached_property
    def cues(self) -> tuple[Cue, ...]:
        """The overlay on whole frames; the first picture stands at 0."""
        from scriptkit.timed_text.frames import on_frames

        return tuple(on_frames(self.overlay[0], self.rate))

    @functools.cached_property
    def timing_problems(self) -> tuple[Problem, ...]:
        """What must be told of the cues' times and texts: steps that are not found or get no time, and cues that find no room."""
        return tuple(in_order([*self.placing_problems, *self.overlay[1]]))

    @property
    def placing_problems(self) -> tuple[Problem, ...]:
        """What must be told of whatever is timed by the cut: steps that are not found in it, or get no time."""
        return (*self.voice_problems, *self.cut_problems, *self._out_of_time())

    def _out_of_time(self) -> list[Problem]:
        if self.cut is None:
            return []
        if not self.by_cut:
            message = "no step is found in the cut: the overlay and the chapters keep the plan's times"
            hint = "give the transcript or the markers of this video, or write the times in a cut file"
            return [warning(Place(self._cut or self._transcript), "planned", message, hint)]
        from scriptkit.cut.plan_in_cut import without_picture

        told = {p.place for p in self.cut_problems}
        return [p for p in without_picture(self.plan, self.timed_plan) if p.place not in told]

    def captions(self, kind: str = "srt", *, sounds: bool = False, first_frame: int = 0) -> str:
        """The text of a caption file with the overlay: ``srt``, ``vtt``, ``ttml`` or ``ass``. ``sounds``: also [sizzling] and the like;
        ``first_frame``: the frame number of the first picture. Raises CannotDo for another kind."""
        cues, _ = self.cues_with(sounds=sounds, first_frame=first_frame)
        return self.written(kind, cues)

    def cues_with(self, *, sounds: bool = False, first_frame: int = 0) -> tuple[tuple[Cue, ...], tuple[Problem, ...]]:
        """The cues on frames, and what of the sounds must be told. ``first_frame``: that of the first picture."""
        from scriptkit.timed_text.frames import on_frames

        told: Sequence[Problem] = ()
        cues: Sequence[Cue] = self.overlay[0]
        if sounds:
            from scriptkit.captions.composing.sounds import sounds_of, with_sounds

            if heard := sounds_of(self.timed_plan):
                cues, told = with_sounds(cues, heard, self.room)
        return tuple(on_frames(cues, self.rate, first_frame)), tuple(told)

    @property
    def canvas(self) -> Canvas:
        """The picture for which the overlay is drawn as ASS, in the profile's shape."""
        from scriptkit.drawing.canvas import canvas_of

        return canvas_of(*((1920, 1080) if self.profile.shape >= 1 else (1080, 1920)))

    def written(self, kind: str, cues: Sequence[Cue], fonts: Fonts | None = None) -> str:
        """The cues as a caption file of this kind; as ASS drawn for the profile's picture, in the house's fonts where none are given.
        Raises CannotDo for another kind."""
        if kind == "ass":
            from scriptkit.drawing.shown import overlay_as_ass

            return overlay_as_ass(cues, self.source.name, self.canvas, fonts)
        from scriptkit.captions.caption_files import write_cues

        return write_cues(kind, cues, self.source.name, self.profile)

    # --- what goes with the video -------------------------------------------------------------------------------------

    @functools.cached_property
    def chapters(self) -> Chapters:
        """The chapters of the cut; of the plan, where no step is found in a cut."""
        from scriptkit.publish.chapters import chapters_of_cut, chapters_of_plan

        if self.cut is None or not self.by_cut:
            return chapters_of_plan(self.plan)
        return chapters_of_cut(self.cut, self.source.place)

    def publication(self, servings: float | None = None) -> Publication:
        """All that goes with the video is made from it; for so many servings (of a meal: plates) where that is asked for."""
        from scriptkit.publish.publication import publication_of

        return publication_of(
            self.source, self.chapters, servings, macros=self.macros, cautions=self.cautions, total_time=self.total_time
        )


PathLike = str | os.PathLike[str]


def read(
    path: PathLike,
    *,
    cut: PathLike = "",
    transcript: PathLike = "",
    log: PathLike = "",
    voice: PathLike = "",
    profile: PathLike = "",
    fps: str = "",
    answers: Sequence[PathLike] = (),
) -> Production:
    """The production of a dish or meal file, as the commands read it; its keyword arguments are :class:`Production`'s. Raises
    CannotDo where the file cannot be opened, or is no YAML; other errors in it are among the ``problems``.

    >>> read("examples/fennel-bisque.yaml").source.name
    'Fennel and celeriac bisque'
    """
    return Production(
        read_source(os.fspath(path)),
        cut=os.fspath(cut),
        transcript=os.fspath(transcript),
        log=os.fspath(log),
        voice=os.fspath(voice),
        profile=os.fspath(profile),
        fps=fps,
        answers=tuple(os.fspath(file) for file in answers),
    )


def read_text(
    text: str,
    name: str = "dish.yaml",
    *,
    cut: PathLike = "",
    transcript: PathLike = "",
    log: PathLike = "",
    voice: PathLike = "",
    profile: PathLike = "",
    fps: str = "",
) -> Production:
    """As :func:`read`, of a dish or meal that is at hand as text. ``name``: what problems call it; the files that it names are
    looked for in the folder of that name. Raises CannotDo where the text is no YAML.

    >>> production = read_text("dish: Buttered leeks\\nservings: 2\\ningredients: {leek: 300 g, butter: 20 g}")
    >>> [f"{p.place.file}:{p.place.line} {p.code}" for p in production.problems if p.severity == "error"]
    ['dish.yaml:3 unknown-food']
    """
    return Production(
        read_source_text(text, name),
        cut=os.fspath(cut),
        transcript=os.fspath(transcript),
        log=os.fspath(log),
        voice=os.fspath(voice),
        profile=os.fspath(profile),
        fps=fps,
    )
