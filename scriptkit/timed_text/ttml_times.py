"""Times of a TTML file: clock times, frames, ticks and offsets, at the rates that the file states (W3C TTML2, 8.2 and 12.3)."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from scriptkit.measure.timecode import RATES, NotATimecode, frames_of, label_of

_CLOCK = re.compile(r"(\d{2,6}):(\d\d):(\d\d)(?:(\.\d{1,20})|:(\d{2,6})(?:\.(\d{1,6}))?)?")
_OFFSET = re.compile(r"(\d{1,20}(?:\.\d{1,20})?)(h|ms|m|s|f|t)")
_LOOSE = re.compile(r"(?:(?:(\d{1,4}):)?(\d{1,4}):)?(\d{1,6}(?:\.\d{1,20})?)")
"""Seconds alone, or with minutes and hours before them, as some programs write them."""
_METRIC_S = {"h": Fraction(3600), "m": Fraction(60), "s": Fraction(1), "ms": Fraction(1, 1000)}
_DROP_NTSC = "dropNTSC"
_NEAR_S = Fraction(1, 1000)


@dataclass(frozen=True, slots=True)
class TtmlClock:
    """``rate``: frames a second, the multiplier counted in; ``labels``: to a second of time code; ``ticks`` a second."""

    rate: Fraction = Fraction(30)
    labels: int = 30
    sub_frames: int = 1
    ticks: Fraction = Fraction(1)
    timecode: bool = False
    """Whether clock times are labels of frames (``ttp:timeBase="smpte"``)."""
    drop: bool = False

    @classmethod
    def of(cls, parameters: Mapping[str, str]) -> TtmlClock:
        """By the attributes of ``tt`` in the parameter namespace, named without it. Raises ValueError where one is no number."""
        labels = int(parameters.get("frameRate", "30"))
        multiplier = re.split(r"[\s:]+", parameters.get("frameRateMultiplier", "1 1").strip())
        factor = Fraction(int(multiplier[0]), int(multiplier[1])) if len(multiplier) == 2 else Fraction(1)
        rate, sub = labels * factor, int(parameters.get("subFrameRate", "1"))
        if "tickRate" in parameters:
            ticks = Fraction(int(parameters["tickRate"]))
        else:
            ticks = rate * sub if "frameRate" in parameters else Fraction(1)
        if rate <= 0 or ticks <= 0 or sub <= 0:
            raise ValueError("a rate of nothing")
        timecode = parameters.get("timeBase") == "smpte"
        return cls(rate, labels, sub, ticks, timecode, timecode and parameters.get("dropMode") == _DROP_NTSC)

    def seconds(self, text: str) -> Fraction:
        """The seconds of a time expression, or of one that is written as some do. Raises ValueError for what is none.

        >>> clock = TtmlClock.of({"frameRate": "24", "frameRateMultiplier": "1000 1001", "tickRate": "10000000"})
        >>> [str(clock.seconds(text)) for text in ("00:01:00.5", "00:00:01:12", "36f", "15000000t", "1.5s")]
        ['121/2', '3001/2000', '3003/2000', '3/2', '3/2']
        """
        text = text.strip()
        if found := _OFFSET.fullmatch(text):
            count, metric = Fraction(found.group(1)), found.group(2)
            if metric in _METRIC_S:
                return count * _METRIC_S[metric]
            return count / (self.rate if metric == "f" else self.ticks)
        if found := _CLOCK.fullmatch(text):
            return self._clock_seconds(found)
        if not (loose := _LOOSE.fullmatch(text)):
            raise ValueError(text)
        hours, minutes, seconds = (Fraction(part or 0) for part in loose.groups())
        return (hours * 60 + minutes) * 60 + seconds

    def _clock_seconds(self, found: re.Match[str]) -> Fraction:
        hours, minutes, seconds, part, frames, sub = found.groups()
        whole = (int(hours) * 60 + int(minutes)) * 60 + int(seconds)
        if part:
            return whole + Fraction("0" + part)
        count = Fraction(int(frames or 0)) + Fraction(int(sub or 0), self.sub_frames)
        if not self.timecode:
            return whole + count / self.rate
        if self.drop and frames and self.labels == RATES["29.97 drop"].nominal:
            try:
                return frames_of(f"{hours[-3:]}:{minutes}:{seconds};{frames}", RATES["29.97 drop"]) / self.rate
            except NotATimecode as wrong:
                raise ValueError(found.group()) from wrong
        return (whole * self.labels + count) / self.rate

    @staticmethod
    def is_odd(text: str) -> bool:
        """Whether the time is not written as TTML says."""
        return not (_OFFSET.fullmatch(text.strip()) or _CLOCK.fullmatch(text.strip()))

    def like(self, seconds: Fraction, example: str) -> str:
        """The time as the example is written: in its metric, or with frames where those can say it to the millisecond.

        >>> TtmlClock.of({"frameRate": "25"}).like(Fraction(5, 2), "00:00:01:00"), TtmlClock().like(Fraction(5, 2), "100ms")
        ('00:00:02.500', '2500ms')
        """
        ms = round(seconds * 1000)
        if found := _OFFSET.fullmatch(example.strip()):
            a_second = {"t": self.ticks, "f": self.rate}.get(found.group(2), Fraction(1000))
            count = round(seconds * a_second)
            if found.group(2) in {"t", "f", "ms"} and abs(count / a_second - seconds) <= _NEAR_S:
                return f"{count}{found.group(2)}"
            return f"{ms // 1000}.{ms % 1000:03d}s"
        clock = _CLOCK.fullmatch(example.strip())
        frames = round(seconds * self.rate)
        in_frames = clock is not None and clock.group(5) is not None and abs(frames / self.rate - seconds) <= _NEAR_S
        if in_frames or self.timecode:  # in time code labels of frames are all that counts
            return self._label(frames)
        return f"{ms // 3_600_000:02d}:{ms // 60_000 % 60:02d}:{ms // 1000 % 60:02d}.{ms % 1000:03d}"

    def _label(self, frames: int) -> str:
        if self.drop and self.labels == RATES["29.97 drop"].nominal:
            return label_of(frames, RATES["29.97 drop"]).replace(";", ":")
        if self.timecode:
            whole, rest = divmod(frames, self.labels)
        else:
            whole = math.floor(frames / self.rate)
            rest = frames - math.ceil(whole * self.rate)
        return f"{whole // 3600:02d}:{whole // 60 % 60:02d}:{whole % 60:02d}:{rest:02d}"
