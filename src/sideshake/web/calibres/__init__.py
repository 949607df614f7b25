"""Calibre sheets, and what the workshop has learnt."""
