"""Regular expressions that are compiled when they are first asked: most commands ask few of the many that the language has."""

from __future__ import annotations

import functools
import re
from collections.abc import Callable, Iterator

from scriptkit.pattern_cache import kept_patterns
from scriptkit.pattern_needs import Needs, may_fit


class LazyPattern:
    """What `re.compile` gives, compiled when it is first used; the methods are those of `re.Pattern`.

    >>> LazyPattern(r"leeks?").search("two leeks").group()
    'leeks'
    """

    def __init__(self, pattern: str, flags: int = 0) -> None:
        self.pattern = pattern
        self.flags = flags

    @functools.cached_property
    def compiled(self) -> re.Pattern[str]:
        """The expression itself; re.error where it is none."""
        return kept_patterns().compiled(self.pattern, self.flags)

    def search(self, text: str, start: int = 0) -> re.Match[str] | None:
        """The first place that fits, from ``start`` on."""
        return self.compiled.search(text, start)

    def match(self, text: str, start: int = 0) -> re.Match[str] | None:
        """What fits at ``start``."""
        return self.compiled.match(text, start)

    def fullmatch(self, text: str) -> re.Match[str] | None:
        """The whole text, where it fits."""
        return self.compiled.fullmatch(text)

    def finditer(self, text: str, start: int = 0) -> Iterator[re.Match[str]]:
        """Every place that fits, from ``start`` on."""
        return self.compiled.finditer(text, start)

    def sub(self, replacement: str | Callable[[re.Match[str]], str], text: str) -> str:
        """The text with every place that fits replaced."""
        return self.compiled.sub(replacement, text)

    def split(self, text: str) -> list[str]:
        """The text between the places that fit; the expression has no groups."""
        return self.compiled.split(text)


class SoughtPattern(LazyPattern):
    """One that few of the many texts it is asked of fit: a text without letters that it needs is not searched, and an expression
    whose letters never come is never compiled. Case is minded.

    >>> SoughtPattern(r"not (?:yet|until)").search("it is in") is None
    True
    """

    @functools.cached_property
    def needs(self) -> Needs:
        """Of each group one at least stands in every text that fits."""
        return kept_patterns().needs(self.pattern)

    def search(self, text: str, start: int = 0) -> re.Match[str] | None:
        """The first place that fits, from ``start`` on."""
        for group in self.needs:  # may_fit, without a call: this is asked hundreds of thousands of times of a long talk
            for letters in group:
                if letters in text:
                    break
            else:
                return None
        return self.compiled.search(text, start)

    def match(self, text: str, start: int = 0) -> re.Match[str] | None:
        """What fits at ``start``."""
        return self.compiled.match(text, start) if may_fit(self.needs, text) else None

    def finditer(self, text: str, start: int = 0) -> Iterator[re.Match[str]]:
        """Every place that fits, from ``start`` on."""
        return self.compiled.finditer(text, start) if may_fit(self.needs, text) else iter(())


def sought(pattern: str, text: str) -> re.Match[str] | None:
    """What `re.search` gives, by a :class:`SoughtPattern`."""
    return _sought(pattern).search(text)


@functools.cache
def _sought(pattern: str) -> SoughtPattern:
    return SoughtPattern(pattern)
