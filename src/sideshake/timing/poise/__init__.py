"""The balance's heavy spot."""
