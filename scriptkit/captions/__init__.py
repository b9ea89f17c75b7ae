"""What is shown over the picture: composed to be read twice, fitted to two lines, written as SubRip."""
