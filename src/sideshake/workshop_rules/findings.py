"""What is usually found, by mechanism, and the known weak points of a calibre.

A title is what the workshop writes down; `plain` is the same for the owner, without jargon.
The list is common practice, no source; a workshop adds its own findings in free words.
"""

from dataclasses import dataclass

from sideshake.core.errors import InputError
from sideshake.movement.sheet import CalibreSheet
from sideshake.workshop_rules.mechanism import Mechanism, mechanisms
from sideshake.workshop_rules.need import WorkNeed

WEAK_POINT = "weak-point-"
"""The key of a calibre's own weak point begins so, and its number on the sheet follows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualFinding:
    """A fault that is often seen: its key, what to call it, the part, and the owner's words."""

    key: str
    title: str
    part: str
    plain: str
    needs: Mechanism | None = None
    weak_point: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SeenFinding:
    """A fault seen on one watch: one of the usual ones by its key, or free words; and evidence."""

    key: str = ""
    text: str = ""
    evidence: str = ""
    need: WorkNeed = WorkNeed.ADVISED

    def __post_init__(self) -> None:
        known = not self.key or self.key in BY_KEY or self.key.startswith(WEAK_POINT)
        if not known:
            raise InputError(f"no usual finding is called {self.key!r}: write it in free words")
        if self.key not in BY_KEY and not self.text.strip():
            raise InputError("a finding needs the key of a usual one, or words of its own")

    @property
    def title(self) -> str:
        """Return what was found, in the workshop's words."""
        return self.text or BY_KEY[self.key].title

    @property
    def plain(self) -> str:
        """Return what was found, in words for the owner."""
        return BY_KEY[self.key].plain if self.key in BY_KEY else self.text


def usual(
    key: str, part: str, title: str, plain: str, needs: Mechanism | None = None
) -> UsualFinding:
    """Return a row of the list."""
    return UsualFinding(key=key, title=title, part=part, plain=plain, needs=needs)


M = Mechanism
USUAL: tuple[UsualFinding, ...] = (
    usual(
        "oil-dried", "movement", "Oil dried or gummed",
        "The oil has dried out, so the parts rub on each other and wear.",
    ),
    usual(
        "amplitude-low", "balance", "Amplitude low",
        "The balance, the wheel that swings and keeps the time, swings too little.",
    ),
    usual(
        "stops", "movement", "Does not run, or stops by itself",
        "The watch does not run, or stops by itself.",
    ),
    usual(
        "reserve-short", "mainspring", "Power reserve too short",
        "The watch runs for less time on one winding than it should.",
    ),
    usual(
        "winding-rough", "winding work", "Winding rough or stiff",
        "Winding feels rough or stiff.",
    ),
    usual(
        "winding-turns", "winding work", "Does not wind, winds too few turns, or without end",
        "The watch cannot be wound up as it should.",
    ),
    usual(
        "click-slips", "winding work", "Click or ratchet slips",
        "The catch that holds the wound spring slips.",
    ),
    usual(
        "mainspring-broken", "mainspring", "Mainspring broken",
        "The mainspring, which drives the watch, is broken.",
    ),
    usual(
        "mainspring-set", "mainspring", "Mainspring set (tired)",
        "The mainspring, which drives the watch, has gone tired and pushes too weakly.",
    ),
    usual(
        "barrel-hole-worn", "barrel", "Barrel leans: holes or arbor worn",
        "The barrel, the drum with the mainspring in it, leans: what holds it is worn.",
    ),
    usual(
        "barrel-rubs", "barrel", "Barrel rubs on bridge, plate or wheel",
        "The barrel, the drum with the mainspring in it, rubs on its neighbours.",
    ),
    usual(
        "bearing-worn", "train", "Bearing of a train wheel worn",
        "A hole in which one of the wheels turns is worn.",
    ),
    usual(
        "balance-pivot-worn", "balance", "Balance pivot worn or bent",
        "One of the fine ends on which the balance turns is worn or bent.",
    ),
    usual(
        "wheel-teeth-lost", "wheels", "Teeth of a wheel lost",
        "A wheel has lost teeth, so what it drives stops or slips there.",
    ),
    usual(
        "jewel-cracked", "train", "Jewel cracked or loose",
        "A jewel, one of the rubies in which the wheels turn, is cracked or loose.",
    ),
    usual(
        "hairspring-bent", "balance", "Hairspring bent, sticking or out of flat",
        "The hairspring, the fine spiral that makes the balance swing, is bent or sticks.",
    ),
    usual(
        "out-of-beat", "balance", "Out of beat",
        "The tick and the tock are uneven, so the watch starts badly.",
    ),
    usual(
        "magnetised", "balance", "Magnetised",
        "The watch is magnetised, which makes it run fast or unevenly.",
    ),
    usual(
        "setting-slips", "setting work", "Setting work slips or jumps out",
        "The hands cannot be set safely: the setting slips or jumps out.",
    ),
    usual(
        "cannon-pinion-loose", "motion work", "Cannon pinion loose: hands fall behind",
        "The hands slip on the movement, so the watch shows less time than has passed.",
    ),
    usual(
        "hack-fails", "setting work", "Seconds stop does not hold",
        "The seconds hand does not stop when the hands are set, though it should.",
    ),
    usual(
        "case-worn", "case", "Case worn, dented or polished thin",
        "The case is worn, dented or polished thin.",
    ),
    usual(
        "case-open", "case", "Case does not close or seal",
        "The case does not close tightly, so dust and moisture come in.",
    ),
    usual(
        "crystal-damaged", "crystal", "Crystal cracked, loose or crazed",
        "The glass is cracked, loose or full of fine cracks.",
    ),
    usual(
        "crown-worn", "crown", "Crown or stem worn",
        "The crown, or the stem behind it, is worn.",
    ),
    usual(
        "gasket-dead", "case", "Gaskets hardened, sticky or missing",
        "The seals are hard, sticky or missing.",
    ),
    usual(
        "water-marks", "movement", "Water marks or rust",
        "Moisture has been inside: there are water marks or rust.",
    ),
    usual(
        "dial-damaged", "dial", "Dial stained, lifting or loose",
        "The dial is stained, its surface is lifting, or it is loose.",
    ),
    usual(
        "dial-repainted", "dial", "Dial repainted or altered",
        "The dial is not as it left the maker: it has been repainted or altered.",
    ),
    usual(
        "hands-touch", "hands", "Hands touch each other, the dial or the crystal",
        "The hands touch each other, the dial or the glass.",
    ),
    usual(
        "hands-loose", "hands", "Hand loose, bent or replaced",
        "A hand is loose, bent or not the one it was made with.",
    ),
    usual(
        "lume-suspect", "lume", "Luminous paint suspected of radium",
        "The luminous paint may contain radium, which needs special care.",
    ),
    usual(
        "lume-crumbling", "lume", "Luminous paint crumbling or falling out",
        "The luminous paint is crumbling and may fall into the movement.",
    ),
    usual(
        "botched-repair", "movement", "Damage by an earlier repair",
        "An earlier repair has left damage behind.",
    ),
    usual(
        "wrong-part", "movement", "Part that does not belong, or is missing",
        "A part does not belong to this watch, or is missing.",
    ),
    usual(
        "rotor-rubs", "rotor", "Rotor rubs on case back or bridges",
        "The rotor, the weight that winds the watch as you move, rubs on the case.",
        M.AUTOMATIC,
    ),
    usual(
        "rotor-loose", "rotor", "Rotor bearing worn",
        "The bearing of the rotor, the weight that winds the watch, is worn.",
        M.AUTOMATIC,
    ),
    usual(
        "winds-poorly", "automatic work", "Automatic work winds poorly or one way only",
        "Moving the watch no longer winds it well enough.",
        M.AUTOMATIC,
    ),
    usual(
        "rotor-spins", "automatic work", "Rotor spins while winding by hand (reverser sticks)",
        "The weight inside spins when the watch is wound by hand, which strains its gears.",
        M.AUTOMATIC,
    ),
    usual(
        "date-late", "calendar", "Calendar changes late, early or incompletely",
        "The date changes at the wrong time or stops half way.",
        M.CALENDAR,
    ),
    usual(
        "date-stuck", "calendar", "Calendar does not change",
        "The date does not change.",
        M.CALENDAR,
    ),
    usual(
        "calendar-teeth-lost", "calendar", "Teeth of a calendar wheel lost",
        "A wheel or ring of the calendar has lost teeth, so the date skips or stays there.",
        M.CALENDAR,
    ),
    usual(
        "quick-set-slips", "calendar", "Quick-set slips or sets nothing",
        "The quick setting of the date slips or does nothing.",
        M.QUICK_SET,
    ),
    usual(
        "corrector-cracked", "calendar", "Polymer corrector wheel cracked",
        "The plastic wheel that sets the date quickly is cracked.",
        M.POLYMER,
    ),
    usual(
        "hand-jumps", "chronograph", "Chronograph hand jumps at the start",
        "The stopwatch hand jumps when it is started.",
        M.CHRONOGRAPH,
    ),
    usual(
        "start-fails", "chronograph", "Chronograph does not start or hesitates",
        "The stopwatch does not start, or hesitates.",
        M.CHRONOGRAPH,
    ),
    usual(
        "brake-weak", "chronograph", "Stopped hand does not stay (brake)",
        "The stopped stopwatch hand does not stay where it stopped.",
        M.CHRONOGRAPH,
    ),
    usual(
        "reset-off", "chronograph", "Reset does not return to zero",
        "The stopwatch hand does not return exactly to zero.",
        M.CHRONOGRAPH,
    ),
    usual(
        "pusher-sticks", "case", "Pusher sticks, leaks or needs uneven force",
        "A push-piece of the stopwatch sticks or needs too much force.",
        M.CHRONOGRAPH,
    ),
    usual(
        "chronograph-drop", "chronograph", "Chronograph takes too much amplitude",
        "The watch swings far less, or stops, while its stopwatch is running.",
        M.CHRONOGRAPH,
    ),
    usual(
        "minute-counter", "chronograph", "Minute counter skips, hangs or moves twice",
        "The stopwatch's minute counter skips or hangs.",
        M.MINUTE_COUNTER,
    ),
    usual(
        "hour-counter", "chronograph", "Hour counter creeps or hangs",
        "The stopwatch's hour counter creeps when it should stand, or hangs.",
        M.HOUR_COUNTER,
    ),
)  # fmt: skip
BY_KEY = {each.key: each for each in USUAL}


def usual_findings(sheet: CalibreSheet | None) -> tuple[UsualFinding, ...]:
    """Return the calibre's weak points first, then what is usually found on such a watch."""
    has = mechanisms(sheet)
    return (
        *weak_points(sheet),
        *(each for each in USUAL if each.needs is None or each.needs in has),
    )


def weak_points(sheet: CalibreSheet | None) -> tuple[UsualFinding, ...]:
    """Return the known weak points of a calibre as findings."""
    return tuple(
        UsualFinding(
            key=f"{WEAK_POINT}{number}",
            title=f"Known weak point: {text}",
            part="movement",
            plain=f"This movement is known for a weak point, and it shows here: {text}.",
            weak_point=True,
        )
        for number, text in enumerate((sheet.weak_points or ()) if sheet else (), start=1)
    )
