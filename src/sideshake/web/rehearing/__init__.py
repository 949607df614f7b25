"""Kept recordings heard by the present ear."""
