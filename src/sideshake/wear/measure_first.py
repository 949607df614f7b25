"""What is said of what nobody measured: no verdict, from where on it rubs, what to measure."""

from sideshake.wear.barrel import Barrel
from sideshake.wear.barrel_size import unmeasured
from sideshake.wear.outlook import Condition, Outlook, Worth
from sideshake.wear.rubbing import Rubbing, chance_words

ARBOR_HOLES = ("lower hole", "upper hole")
BEYOND = (
    ("hole", "wider than"),
    ("pivot", "thinner than"),
    ("arbor in", "thinner than"),
    ("endshake", "more than"),
    ("gap", "below"),
    ("span", "less than"),
)
"""How each kind of size lies beyond its limit, by how its words begin."""


def measure_sentence(barrel: Barrel, free: Rubbing, ahead: Outlook) -> str:
    """Return that there is no verdict, why, how it may stand, and what to measure first."""
    return (
        f"Measure first: {missing_words(barrel, ahead)}, so there is no verdict. With the wear "
        "that a life of unknown length may have brought, the barrel at its greatest lean reaches "
        f"the {free.gap.name} with a probability of {chance_words(free.probability)}. "
        f"{first_words(ahead)}"
    )


def tried_sentence(free: Rubbing) -> str:
    """Return that the rim was pressed and the barrel is free, and what that does not tell."""
    return (
        f"Leave it: with the rim pressed, {free.left_mm.text()} mm are left to the "
        f"{free.gap.name}, and it touches with a probability of {chance_words(free.probability)}. "
        "Not every hole of the arbor was measured: how far it has worn is not known."
    )


def missing_words(barrel: Barrel, ahead: Outlook) -> str:
    """Return what nobody measured of what decides."""
    missing = unmeasured(barrel.known)
    holes = [
        each.words for each in barrel.known if each.name in ARBOR_HOLES and each.name in missing
    ]
    tried = any(gap.pressed_mm for gap in barrel.gaps)
    if len(missing) == len(barrel.known) and not tried:
        return "nothing was measured on this watch"
    if holes:
        return f"nobody measured the {' and the '.join(holes)}"
    first = ahead.best.size.words if ahead.best else "gap"
    return f"nobody measured the {first}, which may decide"


def first_words(ahead: Outlook) -> str:
    """Return which measurement has the most value for a minute, or that none pays by itself."""
    best = ahead.best
    if best is None:
        return "No single measurement decides: measure both holes and both pivots."
    return f"Begin with the {best.size.words}, {worth_words(best)}."


def worth_words(each: Worth) -> str:
    """Return what a measurement takes and saves, in words."""
    return (
        f"with {each.instrument.name}: {each.instrument.minutes:.0f} minutes that save "
        f"{each.value_min:.0f} on average"
    )


def conditions_sentence(ahead: Outlook) -> str:
    """Return what would have to be true for the barrel to rub.

    It names the arbor's holes, the size to begin with and the tightest gap.
    Empty where nothing that is likely makes it rub by itself.
    """
    gaps = [each for each in ahead.conditions if each.size.words.startswith("gap")]
    wanted = {*ARBOR_HOLES, ahead.best.size.name if ahead.best else ""}
    told = [each for each in ahead.conditions if each.size.name in wanted and each not in gaps]
    told += sorted(gaps, key=lambda each: each.size.new.value - each.limit_mm)[:1]
    if not told:
        return ""
    each = "each " if len(told) > 1 else ""
    return (
        f"It rubs if the {', or if the '.join(map(condition_words, told))}, {each}with the rest as "
        "is most likely."
    )


def condition_words(each: Condition) -> str:
    """Return from where on the barrel rubs, for one size: "gap to the bridge is below 0.11 mm"."""
    return f"{each.size.words} is {limit_words(each)}"


def limit_words(each: Condition) -> str:
    """Return the limit of one size: "wider than 0.956 mm"."""
    way = next(way for kind, way in BEYOND if each.size.words.startswith(kind))
    if each.low_mm is None or each.high_mm is None:
        return f"{way} {each.limit_mm:.3f} mm"
    return (
        f"{way} {each.limit_mm:.2f} mm ({each.low_mm:.2f} to {each.high_mm:.2f} as the rest may be)"
    )


def sound_sentence(ahead: Outlook) -> str:
    """Return what would be left if all that nobody measured were as new."""
    if ahead.sound_left_mm < 0:
        return "Even if all that nobody measured were as new, it would rub."
    return (
        f"If all that nobody measured were as new, {ahead.sound_left_mm:.2f} mm would be left: "
        "that is no measurement of this watch."
    )


def to_measure(barrel: Barrel, name: str) -> str:
    """Return that a size is to be measured, or measured again."""
    again = " again" if is_measured(barrel, name) else ""
    return f"Measure the {words_of(barrel, name)}{again}"


def is_measured(barrel: Barrel, name: str) -> bool:
    """Return whether a size, and each part it is the sum of, was measured on this watch."""
    missing = unmeasured(barrel.known)
    return not any(each == name or each.startswith(f"{name} of") for each in missing)


def words_of(barrel: Barrel, name: str) -> str:
    """Return how a size is called in words, by its name in the values."""
    return next((each.words for each in barrel.known if each.name == name), name)
