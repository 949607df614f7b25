"""The errors of Sideshake, all in one place."""


class SideshakeError(Exception):
    """Any error that Sideshake raises on purpose."""

    @property
    def sentence(self) -> str:
        """Return the message as a sentence.

        >>> InputError("no such letter").sentence
        'No such letter.'
        """
        words = str(self)
        return f"{words[:1].upper()}{words[1:]}{'' if words.endswith('.') else '.'}"


class InputError(SideshakeError, ValueError):
    """The caller can mend it: the message says which value, why, and what is allowed."""


class Lacking(InputError):  # noqa: N818 - it says what to add, like `NotEnough`
    """A line or value is missing that this computation needs; nothing given contradicts it."""

    def __init__(self, words: str, *, key: str = "") -> None:
        """Say what is missing; `key` is the sheet's line, where it is one line."""
        super().__init__(words)
        self.key = key


class Faults(InputError):  # noqa: N818 - several, each of which the caller can mend
    """Several lines of what was written are wrong, each told by its key."""

    def __init__(self, told: tuple[tuple[str, str], ...]) -> None:
        """Keep the key of each wrong line (empty for what is no line) and what is wrong with it."""
        super().__init__("; ".join(words for _, words in told))
        self.told = told


class NotEnough(SideshakeError):  # noqa: N818 - it is an answer ("no reading"), not a fault
    """The input is valid, but no honest figure can be drawn from it."""


def first_line(fault: BaseException) -> str:
    """Return the first line of what a fault says, or what kind of fault it is.

    >>> first_line(ValueError("no such letter\\nat line 3")), first_line(KeyError())
    ('no such letter', 'KeyError')
    """
    return (str(fault).strip().splitlines() or [type(fault).__name__])[0]
