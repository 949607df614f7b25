"""Measured holes and pivots to what is worn."""
