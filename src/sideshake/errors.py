"""The errors of Sideshake, all in one place."""


class SideshakeError(Exception):
    """Any error that Sideshake raises on purpose."""


class InputError(SideshakeError, ValueError):
    """The caller can mend it: the message says which value, why, and what is allowed."""


class NotEnough(SideshakeError):  # noqa: N818 - it is an answer ("no reading"), not a fault
    """The input is valid, but no honest figure can be drawn from it."""
