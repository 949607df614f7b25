"""What the workshop has learnt about a calibre from the visits behind it."""

from dataclasses import dataclass

from sideshake.core.errors import InputError, NotEnough

LEAST_VISITS = 3
CONFIDENCE = 0.95


@dataclass(frozen=True, slots=True, kw_only=True)
class PastVisit:
    """The keys of what was found on one visit; a finding counts once however often it is noted."""

    calibre: str
    findings: frozenset[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Learnt:
    """How often a finding was seen on a calibre, with the 95 % interval of its share."""

    key: str
    calibre: str
    seen: int
    visits: int
    low: float
    high: float

    @property
    def share(self) -> float:
        """Return the share of visits in which it was seen."""
        return self.seen / self.visits

    @property
    def sentence(self) -> str:
        """Return how often it was seen, and how sure that is of the next one."""
        return (
            f"seen in {self.seen} of {self.visits} visits "
            f"({100 * self.low:.0f} to {100 * self.high:.0f} %)"
        )


def share_of_visits(key: str, calibre: str, *, seen: int, visits: int) -> Learnt:
    """Return how often a finding is seen on a calibre, with its 95 % interval.

    Raises
    ------
    NotEnough : fewer than 3 visits
    InputError : more seen than visits, or a count below 0

    References
    ----------
    Wilson (1927), JASA 22, 209-212: the score interval, by scipy.stats.binomtest

    Examples
    --------
    >>> share_of_visits("barrel-hole-worn", "Tarnbrook 31", seen=7, visits=9).sentence
    'seen in 7 of 9 visits (45 to 94 %)'
    """
    if not 0 <= seen <= visits:
        raise InputError(f"seen lies between 0 and the visits, got {seen} of {visits}")
    if visits < LEAST_VISITS:
        raise NotEnough(
            f"{visits} visit{'s' * (visits != 1)} of {calibre}: "
            f"a share is told from {LEAST_VISITS} visits on"
        )
    from scipy.stats import binomtest  # here: it loads slowly, and the workshop starts without it

    held = binomtest(seen, visits).proportion_ci(CONFIDENCE, method="wilson")
    return Learnt(
        key=key,
        calibre=calibre,
        seen=seen,
        visits=visits,
        low=float(held.low),
        high=float(held.high),
    )


def learnt(past: tuple[PastVisit, ...], calibre: str) -> tuple[Learnt, ...]:
    """Return every finding ever seen on a calibre, the most frequent first.

    Raises
    ------
    NotEnough : fewer than 3 visits of that calibre
    """
    of_it = [each.findings for each in past if each.calibre == calibre]
    if len(of_it) < LEAST_VISITS:
        share_of_visits("", calibre, seen=0, visits=len(of_it))
    counts = {key: sum(key in findings for findings in of_it) for key in frozenset().union(*of_it)}
    by_count = sorted(counts, key=lambda key: (-counts[key], key))
    return tuple(
        share_of_visits(key, calibre, seen=counts[key], visits=len(of_it)) for key in by_count
    )
