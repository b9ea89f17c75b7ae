"""Dialogue captions out of the overlay's way."""
