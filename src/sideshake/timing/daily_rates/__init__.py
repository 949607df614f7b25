"""Daily rates by ISO 3159."""
