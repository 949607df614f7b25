"""The new part: its size, its fit, and the way to put it in."""
