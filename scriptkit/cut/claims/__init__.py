"""What the talk says of amounts, times and macros, against the recipe."""
