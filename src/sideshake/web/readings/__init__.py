"""Recordings heard, listening live, trying a microphone."""
