"""A visit: one stay of a watch in the workshop."""
