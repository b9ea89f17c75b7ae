"""The Chromium of this machine, and how it is started: where there is the one without a window, that, for it takes half the time."""

from __future__ import annotations

import shutil

_NAMES = ("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome")
CHROMIUM = next((found for name in _NAMES if (found := shutil.which(name))), None)
QUIET = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
]  # fmt: skip
"""A browser that asks nothing of the network."""
