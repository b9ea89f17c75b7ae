"""How English words sound, roughly: what a speech recogniser may take for one another."""

from __future__ import annotations

import functools
import re
import unicodedata

from scriptkit.pattern_needs import needs_of

# Spellings to one sign a sound, the first that fits; rough on purpose, for two spellings of one sound must come out alike.
_RESPELL = tuple(
    (re.compile(pattern), sound, (*needs_of(pattern), ("",))[0])
    for pattern, sound in (
        (r"'s?\b|’s?\b", ""),
        (r"(?<=[a-z])ques?\b", "k"),
        (r"^gh|(?<=[ao])gh(?=[eu][rt])", "g"),
        (r"^kn", "n"),
        (r"^wr", "r"),
        (r"^wh", "w"),
        (r"^(?:ps|sc(?=[eiy]))", "s"),
        (r"gn\b", "n"),
        (r"tch", "x"),
        (r"sch(?=[a-z])", "sk"),
        (r"ch(?=[lr])|ck", "k"),
        (r"ch|sh|(?<=[a-z])(?:ti|ci|ssi)(?=o)", "x"),
        (r"p?ph|(?<=[aou])gh(?=t?\b)", "f"),
        (r"f(?=t\b)", ""),
        (r"gh", ""),
        (r"dge|dg|j|g(?=[eiy])", "j"),
        (r"c(?=[eiy])", "s"),
        (r"c|q", "k"),
        (r"x", "x"),
        (r"mb\b", "m"),
        (r"th", "0"),
        (r"(?<=[aeiou])r(?=[^aeiouy ]|$)", "r"),
        (r"y(?=[aeiou])", "y"),
        (r"(?<=[a-z])e\b", ""),
        (r"ee|ea|ie|ei|y", "i"),
        (r"oo|ou|ue|ew|u", "u"),
        (r"ai|ay|ae", "a"),
        (r"oa|ow|aw|au|o", "o"),
        (r"(.)\1+", r"\1"),
    )
)
_CLASS = str.maketrans({"v": "f", "z": "s", "d": "t", "b": "p", "g": "k"})
"""Voiced consonants as their voiceless twins, which recognisers mix up."""
_SILENT = re.compile(r"[aeiouhwy ]")


@functools.lru_cache(maxsize=65_536)
def sound(word: str) -> str:
    """A word respelt as it sounds.

    >>> sound("celeriac"), sound("sell"), sound("rack")
    ('seleriak', 'sel', 'rak')
    """
    marked = unicodedata.normalize("NFD", word.casefold().replace("œ", "e").replace("æ", "e"))
    plain = "".join(c for c in marked if "a" <= c <= "z" or c in " '’-").replace("-", " ").strip()
    for pattern, written, letters in _RESPELL:
        for needed in letters:
            if needed in plain:
                plain = pattern.sub(written, plain)
                break
    return plain


@functools.lru_cache(maxsize=65_536)
def skeleton(word: str) -> str:
    """The consonants of a word's sound, voiced and voiceless as one, and whether it begins with a vowel.

    >>> skeleton("celeriac"), skeleton("leaf") == skeleton("leave"), skeleton("oil")
    ('slrk', True, 'al')
    """
    respelt = sound(word)
    bones = _SILENT.sub("", respelt).translate(_CLASS)
    bones = re.sub(r"(.)\1+", r"\1", bones)
    return ("a" if respelt[:1] in set("aeiou") else "") + bones


def voiceless(respelt: str) -> str:
    """A respelt text with voiced and voiceless consonants as one, for comparing."""
    return respelt.translate(_CLASS)


def joined(words: tuple[str, ...]) -> str:
    """The skeleton of words said in one breath: a vowel that a later one begins with is lost between them.

    >>> joined(("sell", "a", "rack"))
    'slrk'
    """
    said = skeleton(words[0])
    for word in words[1:]:
        bones = skeleton(word).removeprefix("a")
        said += bones[1:] if bones[:1] == said[-1:] else bones
    return said
