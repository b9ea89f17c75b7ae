"""The overlay: what is shown, fitted to a profile's limits and laid on the line of time."""
