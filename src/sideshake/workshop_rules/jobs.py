"""The usual jobs that answer the usual findings. Times are common practice, no source."""

from dataclasses import dataclass

from sideshake.workshop_rules.options import OpeningDepth, WorkTime


@dataclass(frozen=True, slots=True, kw_only=True)
class RepairJob:
    """A piece of work: what it answers, and what the owner should know before agreeing."""

    key: str
    title: str
    answers: tuple[str, ...]
    risk: str
    if_left: str
    time: WorkTime
    parts: tuple[str, ...] = ()
    outwork: str = ""
    depth: OpeningDepth = OpeningDepth.OPENED
    each_of: str = ""
    """The key of findings each of which takes the whole time; empty where it is taken once."""


OUTSIDE = {"case", "crystal", "crown", "gaskets", "pushers", "demagnetise"}
APART = {
    "mainspring", "winding-work", "barrel", "train-bearing", "balance-pivots", "chronograph",
    "wheel",
}  # fmt: skip
"""Every other job needs the movement out of its case, with dial and hands off."""


def job(key: str, minutes: tuple[int, int], title: str, answers: str, **words: str) -> RepairJob:
    """Return a row of the list; `answers` names the findings, parted by spaces."""
    return RepairJob(
        key=key,
        title=title,
        answers=tuple(answers.split()),
        risk=words["risk"],
        if_left=words["if_left"],
        time=WorkTime(least_min=minutes[0], most_min=minutes[1]),
        parts=tuple(each for each in words.get("parts", "").split(", ") if each),
        outwork=words.get("outwork", ""),
        depth=depth_of(key),
        each_of=words.get("each_of", ""),
    )


def depth_of(key: str) -> OpeningDepth:
    """Return how far the watch must be opened for a job."""
    if key in OUTSIDE:
        return OpeningDepth.OUTSIDE
    return OpeningDepth.APART if key in APART else OpeningDepth.OPENED


JOBS: tuple[RepairJob, ...] = (
    job(
        "mainspring", (20, 40), "New mainspring",
        "mainspring-broken mainspring-set reserve-short winding-turns",
        risk="The exact size may have to be ordered; the old spring is kept for you.",
        if_left="The watch stays weak, runs short of a day, or does not run.",
        parts="mainspring",
    ),
    job(
        "winding-work", (40, 120), "Repair of the winding work",
        "click-slips winding-rough winding-turns",
        risk="A part may have to be made if none can be found.",
        if_left="The wound spring can let go at once and break teeth.",
        parts="click or click spring",
    ),
    job(
        "barrel", (60, 150), "The barrel's bearings measured and repaired",
        "barrel-hole-worn barrel-rubs",
        risk="What is needed is known only when holes and pivots are measured; you are asked again "
        "then.",
        if_left="The barrel goes on leaning, rubs its neighbours and wears them as well.",
        parts="jewel or bush",
    ),
    job(
        "train-bearing", (45, 90), "New bearing for a wheel of the train",
        "bearing-worn jewel-cracked",
        risk="The metal round the hole is cut; a jewel where there was none changes the watch and "
        "is written down.",
        if_left="The wheel leans, the watch loses power and the pivot wears too.",
        parts="jewel or bush",
        each_of="bearing-worn",
    ),
    job(
        "balance-pivots", (60, 180), "Balance pivots polished, or a new balance staff",
        "balance-pivot-worn amplitude-low",
        risk="A worn pivot may turn out too thin to polish; the staff must then be replaced.",
        if_left="The watch keeps a different time in every position.",
        parts="balance staff if needed",
    ),
    job(
        "hairspring", (45, 120), "Hairspring trued, balance set in beat",
        "hairspring-bent out-of-beat",
        risk="A hairspring that has been bent often may not take its shape again.",
        if_left="The watch starts badly and cannot be regulated.",
    ),
    job(
        "demagnetise", (10, 15), "Demagnetised and checked with a compass",
        "magnetised",
        risk="None for the watch.",
        if_left="The watch goes on running fast or unevenly.",
    ),
    job(
        "setting-work", (40, 120), "Repair of the setting work",
        "setting-slips cannon-pinion-loose hack-fails",
        risk="A part may have to be made if none can be found.",
        if_left="The hands cannot be set safely, or slip and show the wrong time.",
        parts="setting lever or spring if needed",
    ),
    job(
        "case", (60, 240), "Case cleaned, straightened, closed well",
        "case-worn case-open",
        risk="Polishing takes metal away and cannot be undone: it is done only if you ask for it.",
        if_left="Wear at the edges stays as it is; an open case lets in dust and moisture.",
        outwork="case maker, for dents and cracks",
    ),
    job(
        "crystal", (20, 45), "New crystal",
        "crystal-damaged",
        risk="A crystal of the old shape may have to be cut to size.",
        if_left="Dust and moisture come in, and a piece may fall on the dial.",
        parts="crystal",
    ),
    job(
        "crown", (20, 60), "New crown or stem",
        "crown-worn",
        risk="A crown of the maker may no longer be found; the old one is kept for you.",
        if_left="It will strip or come off one day, and it lets in moisture.",
        parts="crown, stem",
    ),
    job(
        "gaskets", (15, 30), "New seals",
        "gasket-dead",
        risk="New seals do not make an old case safe against water.",
        if_left="Moisture comes in with the first rain.",
        parts="gaskets",
    ),
    job(
        "dial", (30, 90), "Dial secured as it is",
        "dial-damaged dial-repainted",
        risk="The surface can suffer from any touch. It is not refinished unless you ask for it.",
        if_left="Loose pieces can fall into the movement.",
        outwork="dial restorer, if you ask for one",
    ),
    job(
        "hands", (20, 60), "Hands straightened and fitted",
        "hands-touch hands-loose",
        risk="Old hands are brittle and can break at the bore.",
        if_left="The watch stops when the hands meet.",
    ),
    job(
        "lume", (30, 90), "Luminous paint made safe",
        "lume-suspect lume-crumbling",
        risk="Paint that may contain radium is worked on only where the rules allow it; the watch "
        "may have to go to a licensed place or stay closed.",
        if_left="Crumbs of paint get into the movement, and they can be harmful if swallowed or "
        "breathed in.",
        outwork="licensed place, if it is radium",
    ),
    job(
        "wheel", (60, 240), "Wheel with lost teeth made whole, or another found or made",
        "wheel-teeth-lost",
        risk="Finding the right wheel can take months; cutting one costs more.",
        if_left="The watch stops or slips at the gap, and loose teeth harm the other wheels.",
        parts="the wheel itself (if one can be found)",
        outwork="wheel cutter, if it is cut anew",
    ),
    job(
        "missing-part", (60, 240), "Missing or wrong part found or made",
        "wrong-part botched-repair",
        risk="Finding the right part can take months; making it costs more.",
        if_left="What it does stays undone, or is done badly.",
        parts="the part itself",
    ),
    job(
        "rotor", (45, 120), "Rotor's bearing renewed",
        "rotor-rubs rotor-loose",
        risk="A post that is riveted in may need a new one made.",
        if_left="The rotor cuts into case and bridges, and its dust gets into the movement.",
        parts="rotor post or ball race",
    ),
    job(
        "automatic-work", (60, 150), "Automatic winding taken apart and repaired",
        "winds-poorly rotor-spins",
        risk="Worn reversing wheels can only be replaced.",
        if_left="The watch stops on the wrist, though you wear it.",
        parts="reversing wheels if needed",
    ),
    job(
        "calendar", (45, 120), "Repair of the calendar",
        "date-late date-stuck quick-set-slips",
        risk="A thin jumper spring can break; it can be made anew.",
        if_left="The date goes on changing wrongly; forcing it breaks teeth.",
    ),
    job(
        "calendar-wheel", (60, 180), "Calendar wheel or ring with its teeth made whole",
        "calendar-teeth-lost",
        risk="Let-in teeth show under the loupe; a ring with printed figures is not repainted.",
        if_left="The date skips or stays at the gap, and loose teeth can jam the calendar.",
        parts="wheel or ring (if one can be found)",
        outwork="wheel cutter, if teeth or the wheel are cut anew",
    ),
    job(
        "corrector", (45, 90), "New corrector wheel for the date",
        "corrector-cracked",
        risk="A wheel of the old make cracks again one day; one of metal may be made instead.",
        if_left="The date cannot be set quickly, and pieces of the wheel can jam the calendar.",
        parts="corrector wheel",
    ),
    job(
        "chronograph", (60, 180), "Repair of the chronograph",
        "hand-jumps start-fails brake-weak reset-off chronograph-drop minute-counter hour-counter",
        risk="It can be set finely only after the movement below it is in order.",
        if_left="Using the stopwatch goes on wearing its fine teeth, which are costly to make.",
    ),
    job(
        "pushers", (30, 90), "Push-pieces cleaned, sealed, made to move freely",
        "pusher-sticks",
        risk="Corroded push-pieces may have to be replaced.",
        if_left="They stick, and they let in moisture.",
        parts="push-pieces or their seals",
    ),
)  # fmt: skip
