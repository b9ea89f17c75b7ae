"""Where each step stands in the cut, by what is said in it."""
