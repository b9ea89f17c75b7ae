"""What foods are made of and what a spoon of them weighs: an embedded table, and foods read off a label."""
