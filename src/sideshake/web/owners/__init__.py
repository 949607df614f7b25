"""Owners and their watches."""
