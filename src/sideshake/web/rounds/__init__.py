"""Readings in several positions together."""
