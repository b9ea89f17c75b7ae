"""The two-column script: what is said over which shot, and whether it fits."""
