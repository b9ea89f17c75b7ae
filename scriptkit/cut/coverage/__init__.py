"""Which additions are on camera and heard, and how to rescue those that are not."""
