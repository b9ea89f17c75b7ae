"""The day of the shoot: the planned cut, the shots it needs, and what must lie ready."""
