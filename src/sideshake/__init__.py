"""Sideshake: hear, measure, decide, fit and prove, at the watch restorer's bench."""
