"""Keeping the workshop safe: backups, restoring, and tables for and from other programs."""
