"""The kinds of paper a visit can have."""

from dataclasses import dataclass, field
from enum import StrEnum


class PaperKind(StrEnum):
    """What can be printed or mailed of a visit."""

    REPORT = "report"
    REPORT_PAGE = "report-page"
    PROPOSAL = "proposal"
    INVOICE = "invoice"
    CARE_CARD = "care-card"
    BENCH_SHEET = "bench-sheet"
    LABELS = "labels"
    JEWEL_ORDER = "jewel-order"

    @property
    def words(self) -> str:
        """Return the kind as a person says it."""
        return self.value.replace("-", " ")

    @property
    def ending(self) -> str:
        """Return how its file's name ends."""
        return "html" if self is PaperKind.REPORT_PAGE else "pdf"


class CareCardSize(StrEnum):
    """How large the care card is."""

    CREDIT_CARD = "credit-card"
    A6 = "a6"


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """A paper ready to be shown or written, and what the restorer should know is missing in it."""

    kind: PaperKind
    of: str
    """What its file is named after: the visit, the invoice, the order."""
    data: bytes = field(repr=False)
    gaps: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """Return the file's name, such as report-2026-014.pdf."""
        kind = "report" if self.kind is PaperKind.REPORT_PAGE else self.kind.value
        return f"{kind}-{self.of}.{self.kind.ending}"

    @property
    def media(self) -> str:
        """Return the media type."""
        return "text/html; charset=utf-8" if self.kind.ending == "html" else "application/pdf"
