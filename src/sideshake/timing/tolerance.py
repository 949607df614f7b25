"""A measured figure against a limit: kept, beyond, or too near to tell, as a probability."""

from dataclasses import dataclass
from enum import StrEnum

from sideshake.core.correlated import widened
from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured, probability_below

SURE = 0.95
"""A limit counts as kept, or as passed, when that is at least this likely."""


class ToleranceOutcome(StrEnum):
    """What a figure says against its limit."""

    KEPT = "kept"
    BEYOND = "beyond the limit"
    NEAR = "near the limit"


@dataclass(frozen=True, slots=True, kw_only=True)
class ToleranceCheck:
    """A figure against what it must reach, must not pass, or both; and where the limit is from.

    `limit_u` : standard uncertainty of the limit itself, where a calibre sheet gives one
    `chances` : among how many figures this one was picked as the worst
    """

    what: str
    value: Measured
    unit: str
    source: str
    at_least: float | None = None
    at_most: float | None = None
    limit_u: float = 0.0
    chances: int = 1

    def __post_init__(self) -> None:
        least, most = self.at_least, self.at_most
        if least is None and most is None:
            raise InputError(f"a limit has a least or a most: {self.what}")
        if least is not None and most is not None and least >= most:
            raise InputError(f"a limit runs from least to most: {least} to {most}")

    @property
    def probability_kept(self) -> float:
        """Return the probability that the true value keeps the limit; on it is kept."""
        compared = self.value if not self.limit_u else self.with_limit_u()
        most = 1.0 if self.at_most is None else reaches(self.at_most, compared)
        least = 1.0 if self.at_least is None else 1.0 - falls_short(compared, self.at_least)
        return max(0.0, most + least - 1.0)

    def with_limit_u(self) -> Measured:
        """Return the value as uncertain as it and the limit are together."""
        return widened(self.value, self.limit_u)

    @property
    def outcome(self) -> ToleranceOutcome:
        """Return what the figure says; beyond is stricter for the worst of several."""
        kept = self.probability_kept
        if kept >= SURE:
            return ToleranceOutcome.KEPT
        return (
            ToleranceOutcome.BEYOND
            if kept <= (1.0 - SURE) / self.chances
            else ToleranceOutcome.NEAR
        )

    @property
    def excess(self) -> float:
        """Return how far beyond its limit the value is, as a share of it; 0 or less when kept.

        With a limit on either side the share is of half the way between them.
        """
        least, most, value = self.at_least, self.at_most, self.value.value
        if least is None or most is None:
            limit = least if most is None else most
            over = (value - (limit or 0.0)) * (1 if least is None else -1)
            return over / (abs(limit or 0.0) or 1.0)
        return max(value - most, least - value) / ((most - least) / 2)

    @property
    def limit_text(self) -> str:
        """Return the limit in words."""
        if self.at_most is None:
            return f"at least {self.at_least:g}{self.unit}"
        if self.at_least is None:
            return f"at most {self.at_most:g}{self.unit}"
        if self.at_least == -self.at_most:
            return f"at most {self.at_most:g}{self.unit} either way"
        return f"{self.at_least:+g} to {self.at_most:+g}{self.unit}".replace("-", "−")

    @property
    def figure(self) -> str:
        """Return the figure with its uncertainty and the limit."""
        signed = self.at_least is not None and self.at_most is not None
        return f"{self.what} {self.value.text(sign=signed)}{self.unit} ({self.limit_text})"

    @property
    def sentence(self) -> str:
        """Return what the figure says against its limit, and where that comes from."""
        said = f"{self.figure}: {self.outcome}"
        if self.outcome is ToleranceOutcome.NEAR:
            said += f", kept with a probability of {100 * self.probability_kept:.0f} %"
        return f"{said[:1].upper()}{said[1:]}. Limit: {self.source}."


def reaches(most: float, value: Measured) -> float:
    """Return the probability that the true value does not pass `most`."""
    return float(value.value <= most) if value.u == 0 else probability_below(value, most)


def falls_short(value: Measured, least: float) -> float:
    """Return the probability that the true value does not reach `least`."""
    return probability_below(value, least)


def chronograph_verdict(cost_deg: Measured, limit_deg: Measured, *, source: str) -> ToleranceCheck:
    """Return the chronograph's cost in amplitude against the calibre's limit (degrees).

    Examples
    --------
    >>> chronograph_verdict(Measured(28.0, 2.0), Measured(40.0), source="calibre sheet").sentence
    'Amplitude lost with the chronograph on 28 ± 4° (at most 40°): kept. Limit: calibre sheet.'
    """
    return ToleranceCheck(
        what="amplitude lost with the chronograph on",
        value=cost_deg,
        unit="°",
        source=source,
        at_most=limit_deg.value,
        limit_u=limit_deg.u,
    )
