"""Beats to what they say about the watch."""
