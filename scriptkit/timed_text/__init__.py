"""Timed text files: cues read leniently, put on frames, and written as SubRip, WebVTT and TTML."""
