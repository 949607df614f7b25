"""A watch heard with all that is known of it: its calibre's beats, lift angle and escapement."""

from dataclasses import dataclass

from sideshake.core.quantities import Measured
from sideshake.movement.escapement import LEVER, EscapementLimits, limits_of
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.train import escape_teeth
from sideshake.sound.clock import SampleClock
from sideshake.sound.listener import Heard
from sideshake.timing.nominal import BeatSource, Nominal, per_hour_of
from sideshake.timing.quality_flags import quality_flags
from sideshake.timing.reading import Reading, read
from sideshake.timing.sentence import meaning, sentence
from sideshake.timing.turn.fold import WheelTurn, turn_of
from sideshake.timing.turn.words import repeats
from sideshake.timing.unheard import of_escapement


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownForHearing:
    """What is known of a watch before it is heard; what is not known is None.

    Parameters
    ----------
    lift_angle_deg : the calibre's, with its uncertainty
    beats_per_hour : what it should have, and who says so
    escape_teeth : teeth of the escape wheel
    escapement : what is usual of it; a lever's where nothing is known
    expected_deg : about what it swings, from another position or an earlier reading
    said_watch : somebody says that it is a watch, whatever it sounds like
    """

    lift_angle_deg: Measured | None = None
    beats_per_hour: Nominal | float | None = None
    escape_teeth: int | None = None
    escapement: EscapementLimits = LEVER
    expected_deg: Measured | None = None
    said_watch: bool = False

    @property
    def per_hour(self) -> float | None:
        """Return the beats an hour alone, as the ear wants them."""
        return per_hour_of(self.beats_per_hour)


NOTHING_KNOWN = KnownForHearing()


def known_of(sheet: CalibreSheet | None) -> KnownForHearing:
    """Return what a calibre sheet tells of a watch that is to be heard; without one, nothing.

    Examples
    --------
    >>> from sideshake.movement.sheet_file import shipped_sheet
    >>> known = known_of(shipped_sheet("tarnbrook-31"))
    >>> known.per_hour, known.escape_teeth, known.lift_angle_deg.text()
    (18000.0, 15, '50.0 ± 1.0')
    """
    if sheet is None:
        return NOTHING_KNOWN
    told = sheet.beats_per_hour
    return KnownForHearing(
        lift_angle_deg=sheet.lift_angle_deg,
        beats_per_hour=Nominal(per_hour=float(told), source=BeatSource.CALIBRE) if told else None,
        escape_teeth=escape_teeth(sheet),
        escapement=limits_of(sheet),
    )


def reading_of(heard: Heard, known: KnownForHearing, clock: SampleClock | None = None) -> Reading:
    """Return the reading of what was heard, as of the watch that is known.

    Parameters
    ----------
    heard : what the `Listener` has heard; tell it `known.per_hour` before
    clock : the recorder's; one that nobody checked if left out

    Raises
    ------
    TwoWatches : two of the same beat are heard in turn
    NoWatch : it only beats evenly, and nobody says that it is a watch
    InputError : a lift angle that cannot be, or beats per hour that do not fit what is heard
    NotEnough : too few beats on each side for a line
    """
    found = read(
        heard,
        lift_angle_deg=known.lift_angle_deg,
        beats_per_hour=known.beats_per_hour,
        clock=clock,
        expected_deg=known.expected_deg,
        said_watch=known.said_watch,
    )
    return of_escapement(found, known.escapement)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingSaid:
    """What is said of a reading: the sentence, what it means for the watch, and its doubts.

    `turn` is one turn of the escape wheel; None where its teeth are not known or too few beats came
    """

    sentence: str
    meaning: tuple[str, ...]
    doubts: tuple[str, ...]
    turn: WheelTurn | None


def reading_said(reading: Reading, teeth: int | None) -> ReadingSaid:
    """Return what is said of a reading of a watch whose escape wheel has so many teeth."""
    turn = turn_of(reading, teeth)
    return ReadingSaid(
        sentence=sentence(reading),
        meaning=(*meaning(reading), *(repeats(turn) if turn else ())),
        doubts=tuple(doubt.text for doubt in quality_flags(reading)),
        turn=turn,
    )
