"""The usual steps at the bench, before and after the repairs. Common practice unless it says so."""

from collections.abc import Collection
from dataclasses import dataclass

from sideshake.workshop_rules.cautions import MAINSPRING, POLYMER, SOLVENTS
from sideshake.workshop_rules.mechanism import Mechanism
from sideshake.workshop_rules.options import OpeningDepth


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualStep:
    """A usual step: minutes from least to most, the mechanism that needs it, and how far the watch
    is opened when it is due.

    `also` : what is to be minded besides where the watch has a mechanism
    """

    key: str
    title: str
    how: str
    minutes: tuple[int, int]
    caution: str | None = None
    needs: Mechanism | None = None
    depth: OpeningDepth = OpeningDepth.APART
    also: tuple[tuple[Mechanism, str], ...] = ()

    def how_for(self, has: Collection[Mechanism]) -> str:
        """Return how it is done on a watch with these mechanisms."""
        more = (words for mechanism, words in self.also if mechanism in has)
        return " ".join((self.how, *more))


BEFORE_REPAIR: tuple[UsualStep, ...] = (
    UsualStep(
        key="as-found-reading",
        depth=OpeningDepth.OUTSIDE,
        title="Reading as found",
        how="If it runs: wind it fully, wait half an hour, read it in at least dial up, dial down "
        "and three hanging positions. This is the \"before\" of the report.",
        minutes=(15, 30),
    ),
    UsualStep(
        key="open-case",
        title="Case opened",
        how="Photograph outside and inside first, marks and screw heads as they are.",
        caution="If the paint may be radium, the case stays closed until that is settled by the "
        "rules where you work.",
        minutes=(5, 15),
        depth=OpeningDepth.OPENED,
    ),
    UsualStep(
        key="let-down",
        title="Mainspring let down",
        how="Hold the click back and let the crown turn back under the fingers until no power is "
        "left; make sure by touching a wheel of the train. Only then anything else comes off.",
        caution=MAINSPRING.text,
        minutes=(2, 5),
        depth=OpeningDepth.OPENED,
    ),
    UsualStep(
        key="movement-out",
        title="Movement out, dial and hands off",
        how="Lift the hands with the dial covered. Dial and hands go into a closed box at once, "
        "marked with the visit's number.",
        caution="Luminous paint crumbles at a touch: no brushing, no blowing.",
        minutes=(10, 25),
        depth=OpeningDepth.OPENED,
    ),
    UsualStep(
        key="as-found-checks",
        title="As found: endshake, side shake, barrel, escapement",
        how="Try every arbor with tweezers; press the barrel's rim with pegwood; look at the "
        "escapement's drop and locking. Note each finding before anything is taken apart.",
        minutes=(15, 30),
    ),
    UsualStep(
        key="automatic-off",
        title="Rotor and automatic work off",
        how="Note play and rubbing of the rotor and the order of its wheels.",
        needs=Mechanism.AUTOMATIC,
        minutes=(10, 20),
    ),
    UsualStep(
        key="chronograph-off",
        title="Chronograph layer off",
        how="Photograph each layer; note depth and eccentrics as found and do not move them. Keep "
        "its screws on a plan: they are often of different lengths.",
        caution="Springs fly: hold each down with pegwood while its screw comes out. Do not bend "
        "a plate to gain room.",
        needs=Mechanism.CHRONOGRAPH,
        minutes=(20, 45),
    ),
    UsualStep(
        key="calendar-off",
        title="Calendar layer off",
        how="Hold the jumper down while its cover comes off; note how the driving finger stands.",
        needs=Mechanism.CALENDAR,
        minutes=(10, 25),
    ),
    UsualStep(
        key="take-apart",
        title="Movement taken apart",
        how="Balance first, then pallets, train and barrel. Try the endshake of each arbor before "
        "its bridge comes off.",
        caution="The power must be down: try it once more before the pallets come out.",
        minutes=(30, 60),
    ),
    UsualStep(
        key="clean",
        title="Pre-cleaned and cleaned",
        how="Peg the holes, clean, rinse, dry. Dial, hands and luminous parts never go in.",
        caution=SOLVENTS.text,
        minutes=(40, 80),
    ),
    UsualStep(
        key="polymer",
        title="Polymer wheels cleaned by hand",
        how="Keep them out of the machine; brush them dry or in what is approved for them.",
        caution=POLYMER.text,
        needs=Mechanism.POLYMER,
        minutes=(5, 10),
    ),
    UsualStep(
        key="inspect",
        title="Each part looked at: reuse, repair or replace",
        how="Under the microscope: pivots, jewels, teeth, springs. What goes beyond the proposal "
        "waits for the owner's answer.",
        minutes=(30, 60),
    ),
)  # fmt: skip

AFTER_REPAIR: tuple[UsualStep, ...] = (
    UsualStep(
        key="assemble",
        title="Base movement put together and oiled",
        how="Barrel and train first: try it free, then under a little power. Pallets last, balance "
        "after them. Oil as the calibre's own instructions say; without any, a little in each "
        "bearing that turns and on the working faces of the pallet stones, none on the teeth.",
        caution="Keep the fingers clear of a wound train without its pallets.",
        minutes=(60, 120),
    ),
    UsualStep(
        key="base-timing",
        title="Base timing",
        how="Wind fully, wait half an hour, read in all positions. Amplitude first, then beat, "
        "then rate.",
        also=(
            (Mechanism.CHRONOGRAPH, "The chronograph is not on yet."),
            (Mechanism.CALENDAR, "The calendar is not on yet."),
        ),
        minutes=(30, 90),
    ),
    UsualStep(
        key="chronograph-on",
        title="Chronograph put on, set and compared",
        how="Set the depth of the coupling with visible shake; start, stop, reset from several "
        "places. Read with it off and on: what it takes is noted.",
        needs=Mechanism.CHRONOGRAPH,
        minutes=(60, 150),
    ),
    UsualStep(
        key="calendar-on",
        title="Calendar put on, change watched",
        how="Turn slowly forward through two changes; note first touch, jump and free.",
        needs=Mechanism.CALENDAR,
        minutes=(20, 40),
    ),
    UsualStep(
        key="automatic-on",
        title="Automatic work put on",
        how="The rotor turns free and without rubbing; a slow turn both ways moves the ratchet.",
        needs=Mechanism.AUTOMATIC,
        minutes=(15, 30),
    ),
    UsualStep(
        key="dial-hands",
        depth=OpeningDepth.OPENED,
        title="Dial and hands on",
        how="Hands parallel, clear of each other and of the crystal; hour and minute agree at 12, "
        "3, 6 and 9.",
        also=((Mechanism.CALENDAR, "Fit them exactly at the jump of the date."),),
        caution="Damaged luminous paint is not touched: see the cautions of this visit.",
        minutes=(20, 45),
    ),
    UsualStep(
        key="case-up",
        depth=OpeningDepth.OUTSIDE,
        title="Cased, new seals where it has any",
        how="No dust under the crystal; case screws firm; the crown's tube, and seals, greased.",
        minutes=(20, 40),
    ),
    UsualStep(
        key="pressure-test",
        depth=OpeningDepth.OUTSIDE,
        title="Pressure test as agreed",
        how="Dry first, at the pressure agreed; write down pressure, date and result. It holds for "
        "the day of the test only.",
        caution="A leaking case can burst its glass when the pressure goes: release it slowly, "
        "behind a shield. Old cases at low pressure or not at all.",
        minutes=(10, 20),
    ),
    UsualStep(
        key="final-control",
        depth=OpeningDepth.OUTSIDE,
        title="Final control over days",
        how="The tests before it goes home, over at least one full run of the spring and some "
        "days; on another day, look again with fresh eyes.",
        minutes=(30, 60),
    ),
)  # fmt: skip
