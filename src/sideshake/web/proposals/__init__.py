"""Proposals and the owner's answer."""
