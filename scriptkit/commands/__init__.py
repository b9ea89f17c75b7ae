"""One module a command; each ``run`` returns the exit code."""
