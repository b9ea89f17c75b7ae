"""What is shown: a paper a file, each a frozen view beside its text and its JSON; templates only print."""
