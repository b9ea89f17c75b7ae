"""What of the overlay is drawn: where each letter and box stands on a picture, and the same as ASS subtitles."""
