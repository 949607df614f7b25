"""Programmes of daily rates."""
