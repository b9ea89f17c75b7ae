"""What is said in the cut, and when."""
