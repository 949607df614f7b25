"""Samples to beats: the ear."""
