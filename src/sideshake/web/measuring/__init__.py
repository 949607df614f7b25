"""Sizes, typed in or seen in a photograph, and what they say."""
