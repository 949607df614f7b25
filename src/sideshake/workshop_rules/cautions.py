"""Cautions from what is known of a watch, before anybody opens it.

None of them replaces the law, the safety data sheets or a licensed practice: the last one says so.
Radium: half-life 1600 years, so a glow that has died proves nothing; authorities advise against
taking radium watches apart (public-health and radiation-protection publications). T and T 25 are
the marks of ISO 3157. The rest is common practice.
"""

from dataclasses import dataclass

from sideshake.core.errors import InputError
from sideshake.movement.sheet import CalibreSheet

RADIUM_YEARS = (1910, 1969)
"""About the years in which radium paint was in use."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownOfWatch:
    """What is known of a watch; None is "not known" and is never taken for "no"."""

    year_from: int | None = None
    year_to: int | None = None
    luminous: bool | None = None
    burn_marks: bool = False
    marked_t: bool = False
    lume_dead: bool = False
    magnetised: bool = False
    water_damage: bool = False

    def __post_init__(self) -> None:
        for year in (self.year_from, self.year_to):
            if year is not None and not 1500 <= year <= 2200:
                raise InputError(f"a watch is dated between 1500 and 2200, got {year}")
        if self.year_from and self.year_to and self.year_from > self.year_to:
            raise InputError(
                f"the earliest year {self.year_from} lies after the latest {self.year_to}"
            )

    @property
    def may_be_of_radium_years(self) -> bool:
        """Return whether it can have been made while radium paint was in use."""
        first, last = RADIUM_YEARS
        return (self.year_from or first) <= last and (self.year_to or last) >= first


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchCaution:
    """A warning: its key, a title, what to do, and whether someone can be hurt."""

    key: str
    title: str
    text: str
    grave: bool


RADIUM_MARKS = WatchCaution(
    key="radium-marks",
    title="Radium: there are burn marks",
    text="Brown shadows beside the luminous hands are what radium paint leaves on dial and paper. "
    "Treat the watch as containing radium. Keep the case closed, do not scrape, brush or blow, "
    "and decide first whether you may and can do this work at all: the authority where you work "
    "decides. The danger is dust that is breathed in or swallowed, and radon gas where many such "
    "watches lie together without fresh air.",
    grave=True,
)
RADIUM_AGE = WatchCaution(
    key="radium-age",
    title="Radium: its age makes it possible",
    text="Luminous paint of about 1910 to the 1960s may contain radium. Find out before the case "
    "is opened: the date, marks on the dial, shadows beside the hands, a measuring instrument. "
    "Until then treat it as if it did, and follow the rules where you work.",
    grave=True,
)
DEAD_LUME = WatchCaution(
    key="dead-lume",
    title="A glow that has died proves nothing",
    text="The paint loses its glow in some decades, radium stays active for many centuries. Paint "
    "that no longer glows is no safer, and it crumbles more easily.",
    grave=True,
)
TRITIUM = WatchCaution(
    key="tritium",
    title="Marked T: tritium paint",
    text="Its radiation does not pass the skin; dust and vapour must not be swallowed or breathed "
    "in. Handle loose paint damp, keep it in a closed bag, wash the hands. Hands may have been "
    "exchanged: the mark on the dial does not speak for them.",
    grave=False,
)
MAINSPRING = WatchCaution(
    key="mainspring",
    title="Let the mainspring down first",
    text="Hold the click back and brake the crown, until no power is left, before balance, pallets "
    "or any bridge comes off. Wear eye protection and use a winder: a spring that flies out cuts, "
    "and a train that runs free breaks its teeth.",
    grave=True,
)
SOLVENTS = WatchCaution(
    key="solvents",
    title="Cleaning fluids",
    text="Most rinses burn: no flame or hot air near them, lids closed, windows open, gloves on. "
    "Alcohol dissolves the shellac that holds the pallet stones and the impulse jewel: rinse "
    "those in something else. Strong ammonia attacks brass under tension. Do not follow recipes "
    "of old handbooks; read the safety data sheet of each fluid.",
    grave=True,
)
POLYMER = WatchCaution(
    key="polymer",
    title="Polymer wheel in the setting work",
    text="No heat, no fluid that is not approved for it, no ultrasonic bath. Look for hairline "
    "cracks before anything is set.",
    grave=False,
)
MAGNETISM = WatchCaution(
    key="magnetism",
    title="Demagnetiser",
    text="Its field can disturb pacemakers and other implants, for the one who holds it and for "
    "whoever stands near: follow what the implant's maker says, and ask visitors. Keep hearing "
    "aids and cards away. Draw the watch out before switching off.",
    grave=True,
)
WATER_DAMAGE = WatchCaution(
    key="water-damage",
    title="Moisture has been inside",
    text="Rust goes on by the hour: open and dry it soon, and tell the owner today. Screws may "
    "break and springs may snap; say so in the proposal before the work. Rust dust is not to be "
    "breathed in.",
    grave=False,
)
WATER_CLAIMS = WatchCaution(
    key="water-claims",
    title="What may be said about water",
    text="Never call a watch waterproof, and never repeat the maker's depth for it. Say how it was "
    "tested, to what pressure, on what day, and that it holds for that day only. An old case is "
    "tested at low pressure or not at all, as agreed with the owner. A case under test pressure "
    "can burst its glass: release it slowly, behind a shield.",
    grave=False,
)
LOCAL_RULES = WatchCaution(
    key="local-rules",
    title="The rules where you work come first",
    text="These are reminders only. The law, the safety data sheets and the advice of the "
    "authority where you work come first; some of this work is for licensed places alone.",
    grave=False,
)


def cautions(known: KnownOfWatch, sheet: CalibreSheet | None = None) -> tuple[WatchCaution, ...]:
    """Return the cautions for a watch, those by which someone can be hurt first."""
    chosen = [
        *lume_cautions(known),
        MAINSPRING,
        SOLVENTS,
        *([MAGNETISM] if known.magnetised else []),
        *([WATER_DAMAGE] if known.water_damage else []),
        *([POLYMER] if sheet and sheet.calendar and sheet.calendar.polymer_wheel else []),
        WATER_CLAIMS,
        LOCAL_RULES,
    ]
    return tuple(sorted(chosen, key=lambda each: not each.grave))


def lume_cautions(known: KnownOfWatch) -> list[WatchCaution]:
    """Return the cautions about luminous paint.

    Burn marks count whatever the date, the T mark clears neither the hands nor the age; only a
    watch known to have no luminous paint, and no burn marks, is free of suspicion.
    """
    found = []
    if known.burn_marks:
        found.append(RADIUM_MARKS)
    elif known.luminous is not False and known.may_be_of_radium_years:
        found.append(RADIUM_AGE)
    if known.lume_dead and found:
        found.append(DEAD_LUME)
    return [*found, TRITIUM] if known.marked_t else found


def suspects_radium(known: KnownOfWatch) -> bool:
    """Return whether the watch is to be treated as containing radium until it is cleared."""
    return any(each in {RADIUM_MARKS, RADIUM_AGE} for each in lume_cautions(known))
