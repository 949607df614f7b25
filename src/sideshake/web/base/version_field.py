"""Which version of a record was shown: the hidden field of a form that tells it."""

from collections.abc import Iterable, Mapping
from typing import Any

from django import forms

NO_VERSION = 0
"""No record has it: who does not tell what they saw is refused like one who was overtaken."""
MOST_DIGITS = 18


class SeenField(forms.IntegerField):
    """The version that was seen, hidden in the form."""

    widget = forms.HiddenInput

    def __init__(self, *, untold: int = NO_VERSION) -> None:
        """Take what stands for a version that is not told."""
        super().__init__(required=False)
        self.untold = untold

    def clean(self, value: object) -> int:
        """Return the version that was sent."""
        return version_in("" if value is None else str(value), untold=self.untold)


def versions_in(sent: Mapping[str, Any], keys: Iterable[str]) -> dict[str, int]:
    """Return the version seen of each record that was shown, by its key."""
    told = {key: str(sent.get(f"seen.{key}", "")) for key in keys}
    return {key: version_in(version) for key, version in told.items() if version.isdecimal()}


def version_in(text: str, *, untold: int = NO_VERSION) -> int:
    """Return the version that a text tells.

    >>> version_in("12"), version_in(""), version_in("-1"), version_in("9" * 5000)
    (12, 0, 0, 0)
    """
    return int(text) if text.isdecimal() and len(text) <= MOST_DIGITS else untold
