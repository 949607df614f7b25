"""A visit's story for others to read."""
