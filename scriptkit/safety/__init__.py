"""Cautions as data, each with its source, and the step that each applies to."""
