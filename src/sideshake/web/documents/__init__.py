"""A visit's records as the values that paper is made of, and as paper.

Nothing is gathered here: who asks for an invoice need not load what hears a watch.
"""
