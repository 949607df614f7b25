"""Hand times: read from a dial that does not tell morning from evening, and said in plain words."""

import math

from sideshake.core.errors import InputError
from sideshake.wording import gettext as _
from sideshake.wording import noop, pgettext

HALF_DAY_H = 12.0
DAY_H = 24.0
ROUND_MIDNIGHT_H = 3.0
"""A date jumps within this of midnight; what jumps so near noon is a dial read as twelve hours."""
QUARTERS = ("", "quarter past", "half past", "quarter to")
NUMBERS = (
    "twelve", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    "eleven",
)  # fmt: skip
EVENING_FROM = 18
BETWEEN, FROM_TO = noop("between {start} and {end}"), noop("from {start} to {end}")
A_SECOND_H = 1.0 / 3600.0


def hours_of(written: str) -> float:
    """Return the hours of a hand time such as "21:10"."""
    hours, _colon, minutes = written.partition(":")
    try:
        found = int(hours) + int(minutes) / 60
    except ValueError:
        raise InputError(f'a hand time looks like "21:10", got {written!r}') from None
    if not (0 <= int(hours) < DAY_H and 0 <= int(minutes) < 60):
        raise InputError(f"a hand time lies between 0:00 and 23:59, got {written!r}")
    return found


def jump_of_day(jump: str, *others: str) -> float:
    """Return the hour of the day, 0 to 24, at which a date jumps, read from the hands.

    A date changes round midnight: 12:00, 11:50 or 12:10 is read as that side of the dial. Far from
    twelve a time counts as it stands, if it or another one shows that the day has 24 hours.

    Parameters
    ----------
    jump : the hand time at which the date jumps
    others : times noted with it

    Raises
    ------
    InputError : the jump is far from twelve, and nothing tells morning from evening

    Examples
    --------
    >>> jump_of_day("12:00", "9:00"), jump_of_day("23:50"), jump_of_day("4:00", "23:00")
    (0.0, 23.833333333333332, 4.0)
    """
    hours = hours_of(jump)
    from_noon = abs(hours - HALF_DAY_H)
    if from_noon <= ROUND_MIDNIGHT_H:
        return (hours + HALF_DAY_H) % DAY_H
    if from_noon >= HALF_DAY_H - ROUND_MIDNIGHT_H or any(map(tells_half, (jump, *others))):
        return hours
    evening = f"{int(hours) + 12}{jump[jump.index(':') :]}"
    raise InputError(
        f"a date that jumps at {jump}: in the morning or in the evening? Write 0{jump} or {evening}"
    )


def tells_half(written: str) -> bool:
    """Return whether a hand time tells morning from evening: 13:00 and later, 00:20, 06:00."""
    return written.startswith("0") or hours_of(written) >= HALF_DAY_H + 1


def outward(start_h: float, end_h: float, *, step_h: float = 0.25) -> tuple[float, float]:
    """Return a stretch of hours widened to whole quarters at both ends.

    Examples
    --------
    >>> outward(19.73, 26.38)
    (19.5, 26.5)
    """
    first = math.floor((start_h + A_SECOND_H) / step_h) * step_h
    last = math.ceil((end_h - A_SECOND_H) / step_h) * step_h
    return first, last


def quarter_words(hours: float) -> str:
    """Return an hour of the day in words, to the nearest quarter; in figures where the language
    spoken counts the day's hours to twenty-four.

    Examples
    --------
    >>> quarter_words(19.5), quarter_words(2.5), quarter_words(23.75)
    ('half past seven in the evening', 'half past two in the morning', 'quarter to midnight')
    """
    hour, quarter = divmod(round(hours * 4) % 96, 4)
    named = (hour + 1) % 24 if quarter == len(QUARTERS) - 1 else hour
    words = f"{QUARTERS[quarter]} {hour_words(named)}".strip()
    return pgettext("hand time", "{words}").format(words=words, hour=hour, minutes=15 * quarter)


def hour_words(hour: int) -> str:
    """Return a whole hour of the day, 0 to 23, as a layman says it."""
    if hour % HALF_DAY_H == 0:
        return "noon" if hour else "midnight"
    part = "morning" if hour < HALF_DAY_H else "afternoon" if hour < EVENING_FROM else "evening"
    return f"{NUMBERS[hour % 12]} in the {part}"


def said_outward(start_h: float, length_h: float, *, said: str) -> str:
    """Return a stretch of hours in words, widened to quarters; `said` is `BETWEEN` or `FROM_TO`.

    Examples
    --------
    >>> said_outward(19.73, 6.65, said=BETWEEN)
    'between half past seven in the evening and half past two in the morning'
    """
    first, last = outward(start_h, start_h + length_h)
    return _(said).format(start=quarter_words(first), end=quarter_words(last))
