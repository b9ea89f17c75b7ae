"""The recorded voice-over: what is read in it, and when."""
