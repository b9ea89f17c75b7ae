"""The edited video: what is said in it, where each step stands, and which additions are heard and seen."""
