"""The take log: read, understood, and made into a paper edit."""
