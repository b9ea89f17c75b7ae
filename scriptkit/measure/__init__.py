"""Kitchen amounts, durations and temperatures: from a cook's words to exact figures and back."""
