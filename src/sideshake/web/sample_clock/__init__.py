"""Checking a sound clock."""
