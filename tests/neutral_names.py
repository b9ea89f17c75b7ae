"""Names that nothing prints: of who broadcasts, of what films and cuts, and of who makes kitchen tools."""

from __future__ import annotations

import re

TOOLS = (
    "Microplane", "Thermomix", "KitchenAid", "Pyrex", "Tupperware", "Teflon", "Vitamix", "Nutribullet", "Crock-Pot", "Instant Pot", "Le Creuset",
    "Magimix", "Ninja", "Tefal", "Bamix",
)  # fmt: skip
"""Makers and brands of what stands in a kitchen."""
NAMES = (
    # who broadcasts, streams or hosts
    "BBC", "ITV", "Channel 4", "Netflix", "Disney", "Hulu", "YouTube", "Vimeo", "TikTok", "Instagram", "Facebook", "WhatsApp", "Twitch",
    "Pinterest", "Snapchat", "DCMP", "EBU", "Ofcom", "FCC",
    # what films and cuts
    "GoPro", "Canon", "Nikon", "Sony", "Panasonic", "Lumix", "Fujifilm", "Blackmagic", "DaVinci", "Premiere", "Final Cut", "Avid", "CapCut",
    "iMovie", "iPhone", "iPad", "Android", "Chrome", "Safari", "Firefox",
    *TOOLS,
)  # fmt: skip
_ANY = re.compile(rf"(?<![\w-])(?:{'|'.join(map(re.escape, NAMES))})s?(?![\w-])", re.IGNORECASE)
_AS_A_COMMON_WORD = frozenset({"canon", "chrome", "android", "avid", "premiere", "safari", "ninja"})
"""Also ordinary words: only with a capital they are a name."""


def named(text: str) -> list[str]:
    """The names that stand in a text."""
    return [found for found in _ANY.findall(text) if not (found.islower() and found in _AS_A_COMMON_WORD)]
