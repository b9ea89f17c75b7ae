"""English as a kitchen speaks it: words, stems, sounds, and what a step says. Another language is another set of these tables."""
