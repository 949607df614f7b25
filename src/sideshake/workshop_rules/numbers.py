"""Numbers of visits and invoices: one after the other within a year, without a gap."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from sideshake.core.errors import InputError


@dataclass(frozen=True, slots=True, kw_only=True)
class Numbering:
    """How a workshop writes its numbers: a prefix, the year, a running number."""

    prefix: str = ""
    digits: int = 3

    def __post_init__(self) -> None:
        if not re.fullmatch(r"[A-Za-z]{0,6}-?", self.prefix):
            raise InputError(
                f"a prefix is up to six letters, with a hyphen or without; got {self.prefix!r}"
            )
        if not 1 <= self.digits <= 8:
            raise InputError(f"a running number has 1 to 8 digits, got {self.digits}")

    def text(self, year: int, running: int) -> str:
        """Return the number as it is written; it grows longer rather than starting anew."""
        return f"{self.prefix}{year:04d}-{running:0{self.digits}d}"

    def parts(self, written: str) -> tuple[int, int]:
        """Return year and running number.

        Raises
        ------
        InputError : it is not written in this way
        """
        found = re.fullmatch(rf"{re.escape(self.prefix)}([0-9]{{4}})-([0-9]+)", written)
        if found is None or int(found[2]) < 1:
            raise InputError(f"a number looks like {self.text(2026, 1)}, got {written!r}")
        return int(found[1]), int(found[2])


PLAIN = Numbering()


def next_number(last: str | None, year: int, numbering: Numbering = PLAIN) -> str:
    """Return the number after the last one given; each year begins at 1.

    Raises
    ------
    InputError : the last number is of a later year, or not written in this way

    Examples
    --------
    >>> next_number(None, 2026), next_number("2026-009", 2026), next_number("2026-014", 2027)
    ('2026-001', '2026-010', '2027-001')
    """
    if not 1000 <= year <= 9999:
        raise InputError(f"a year has four figures, got {year}")
    if last is None:
        return numbering.text(year, 1)
    last_year, running = numbering.parts(last)
    if last_year > year:
        raise InputError(f"the last number is {last}, of a later year than {year}: check the date")
    return numbering.text(year, running + 1 if last_year == year else 1)


def newest(written: Iterable[str], numbering: Numbering = PLAIN) -> str | None:
    """Return the highest of some numbers; None when there is none.

    Examples
    --------
    >>> newest(["2026-999", "2026-1000", "2026-002"])
    '2026-1000'
    """
    return max(written, key=numbering.parts, default=None)


def missing_numbers(written: tuple[str, ...], numbering: Numbering = PLAIN) -> tuple[str, ...]:
    """Return the numbers that lack between 1 and the highest of each year."""
    have = {numbering.parts(each) for each in written}
    years = sorted({year for year, _ in have})
    return tuple(
        numbering.text(year, running)
        for year in years
        for running in range(1, max(each for of, each in have if of == year))
        if (year, running) not in have
    )
