"""How a size was taken: by hand or in a photograph, with what, before the work or after it."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from sideshake.web.models import Measurement, Photograph


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """How sizes were measured: before or after the work, by hand or in a photograph.

    What was measured before the work stays beside what was measured after it; a size that is typed
    over loses its photograph.
    """

    after: bool = False
    photograph: Photograph | None = None
    told: str = ""
    """What the photograph told, in a sentence."""
    instruments: Mapping[str, str] = field(default_factory=dict)
    """With what a size was read, by its key."""

    def differs(self, row: Measurement) -> bool:
        """Return whether a size is said to be read with another instrument than is stored."""
        return self.instruments.get(row.key, row.instrument) != row.instrument
