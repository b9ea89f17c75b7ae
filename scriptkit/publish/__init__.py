"""What leaves the house with the video: description, chapters, recipe card, linked data."""
