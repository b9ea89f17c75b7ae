"""One recipe file in; the shoot's papers, true macros and overlay captions out."""

__version__ = "0.1.0"
