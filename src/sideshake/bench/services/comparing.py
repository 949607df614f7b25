"""Before and after: what the work has changed, and whether the change is real."""

from sideshake.bench.models import Reading
from sideshake.bench.services.hearing import measured
from sideshake.quantities import Measured, propagate

COMPARED = (
    ("amplitude_deg", "swings", "°", "further", "less far"),
    ("rate_s_per_day", "goes", " s a day", "faster", "slower"),
)


def differences(readings: list[Reading]) -> list[str]:
    """Return sentences on after against before; none when no pair was heard in the same way."""
    pair = like_pair([reading for reading in readings if reading.state == "heard"])
    if pair is None:
        return []
    sentences = [difference(*pair, *words) for words in COMPARED]
    return [sentence for sentence in sentences if sentence]


def like_pair(readings: list[Reading]) -> tuple[Reading, Reading] | None:
    """Return a reading from before and the last one after, in the same position and wind."""
    for before in (reading for reading in readings if not reading.after):
        for after in reversed([reading for reading in readings if reading.after]):
            if conditions(before) == conditions(after):
                return before, after
    return None


def conditions(reading: Reading) -> tuple[str, str, bool]:
    """Return how a watch lay, was wound, and whether its chronograph ran."""
    return reading.position, reading.wound, reading.chronograph_on


def difference(  # noqa: PLR0913, PLR0917 - the words of one sentence
    before: Reading, after: Reading, name: str, verb: str, unit: str, more: str, less: str
) -> str:
    """Return one difference in words, and whether it is real."""
    one, other = measured(before, name), measured(after, name)
    if one is None or other is None:
        return ""
    change = propagate(lambda was, now: now - was, one, other)
    if abs(change.value) <= change.expanded:
        return (
            f"It {verb} as before, as far as can be told "
            f"({change.text(sign=True)}{unit}, {after.get_position_display()})."
        )
    size = Measured(abs(change.value), change.u).text()
    way = more if change.value > 0 else less
    return f"It {verb} {size}{unit} {way} than before ({after.get_position_display()})."
