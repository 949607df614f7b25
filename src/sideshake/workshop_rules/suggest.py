"""From verdict and findings to the options of a proposal, in words an owner understands."""

from dataclasses import replace

from sideshake.core.quantities import probability_below
from sideshake.movement.sheet import CalibreSheet
from sideshake.wear.bearing import normal_play, side_shake
from sideshake.wear.rubbing import chance_words
from sideshake.wear.verdict import BOTH, EVEN, Action, BearingPlace, Verdict
from sideshake.wording import figures, noop
from sideshake.wording import gettext as _
from sideshake.workshop_rules.findings import SeenFinding
from sideshake.workshop_rules.jobs import JOBS, RepairJob
from sideshake.workshop_rules.need import WorkNeed, most_needed
from sideshake.workshop_rules.options import OVERHAUL, OpeningDepth, Suggestion, WorkTime
from sideshake.workshop_rules.plan import overhaul_time

BARREL_JOB = "barrel"
OVERHAUL_ANSWERS = {
    "oil-dried", "amplitude-low", "stops", "reserve-short", "winding-rough", "water-marks",
    "botched-repair",
}  # fmt: skip
APART = noop(
    "The other work needs the movement taken apart; it is cleaned, oiled and timed when it goes "
    "together again."
)
NEW_HOLES = {
    ("jewel", (BearingPlace.BELOW,)): noop("New ruby jewel for the barrel, in the base plate"),
    ("jewel", (BearingPlace.ABOVE,)): noop("New ruby jewel for the barrel, in the bridge above it"),
    ("jewel", BOTH): noop(
        "New ruby jewels for the barrel, in the base plate and in the bridge above it"
    ),
    ("bush", (BearingPlace.BELOW,)): noop("New metal bush for the barrel, in the base plate"),
    ("bush", (BearingPlace.ABOVE,)): noop("New metal bush for the barrel, in the bridge above it"),
    ("bush", BOTH): noop(
        "New metal bushes for the barrel, in the base plate and in the bridge above it"
    ),
}
NEW_PARTS = {
    ("jewel", BearingPlace.BELOW): noop("jewel for the plate"),
    ("jewel", BearingPlace.ABOVE): noop("jewel for the bridge"),
    ("bush", BearingPlace.BELOW): noop("bush for the plate"),
    ("bush", BearingPlace.ABOVE): noop("bush for the bridge"),
}
HOLES = {
    BearingPlace.BELOW: noop("The one in the base plate"),
    BearingPlace.ABOVE: noop("The one in the bridge above it"),
}
LEAST_GAIN_DEG = 1.0
"""Less amplitude than this nobody notices (common practice, no source)."""
BARREL_IN_WORDS = noop("The barrel, the drum with the mainspring in it, turns in two holes.")
CHANCES = (noop("less than 1 %"), noop("more than 99 %"))
"""What a probability is called that no whole percent tells."""
SURE = 0.95
"""A hole is called worn when that is at least this likely."""
RUBS_SURELY = 0.95
"""So likely must rubbing be for a repair to be called necessary."""
CUT_RISK = noop(
    "The hole is cut larger and cannot be made smaller again. {change} This is written down for "
    "whoever opens the watch next."
)
JEWEL_CHANGE = noop("A jewel where there was none changes the watch and its count of jewels.")
BUSH_CHANGE = noop("A bush of metal is what the makers used too; it wears again in the end.")
IF_LEFT = noop(
    "The barrel goes on leaning. As measured, it can reach the {part} with a probability of "
    "{chance}; then it wears what it touches, and the repair grows larger."
)


def suggestions(
    verdict: Verdict | None, findings: tuple[SeenFinding, ...], sheet: CalibreSheet | None = None
) -> tuple[Suggestion, ...]:
    """Return the options: what the measured wear asks for first, then what answers the findings.

    What was found decides, whatever the sheet says is there; the sheet gives an overhaul its time.
    What was measured takes the place of what was only seen of the barrel, and keeps its evidence.
    What no option answers is told by `unanswered`.
    """
    made = [suggestion(job, findings) for job in JOBS]
    felt = next(each for each in made if each.key == BARREL_JOB)
    measured = [
        replace(each, evidence=(*each.evidence, *felt.evidence))
        for each in (barrel_options(verdict) if verdict else ())
    ]
    others = [each for each in made if each.reason and not (measured and each is felt)]
    needed = any(each.on_top_of for each in (*measured, *others))
    overhaul = overhaul_option(findings, sheet)
    if needed:
        asking = [each.need for each in (*measured, *others) if each.on_top_of]
        overhaul = replace(overhaul, need=most_needed([overhaul.need, *asking]))
    return (*measured, *([overhaul] if needed or overhaul.reason != _(APART) else []), *others)


def overhaul_option(findings: tuple[SeenFinding, ...], sheet: CalibreSheet | None) -> Suggestion:
    """Return the overhaul: asked for by its own findings, or by work that needs it."""
    answered = [each for each in findings if each.key in OVERHAUL_ANSWERS]
    return Suggestion(
        key=OVERHAUL,
        title=_("Complete overhaul of the movement"),
        reason=plain_words(answered) or _(APART),
        evidence=tuple(each.evidence for each in answered if each.evidence),
        need=most_needed(each.need for each in answered),
        risk=_(
            "Old screws and springs can break when they are loosened, and hidden wear may come to "
            "light. Nothing beyond this proposal is done without asking you."
        ),
        if_left=_(
            "The parts go on wearing each other, and each month makes the later repair larger."
        ),
        time=overhaul_time(sheet),
        depth=OpeningDepth.APART,
    )


def suggestion(job: RepairJob, findings: tuple[SeenFinding, ...]) -> Suggestion:
    """Return a job as an option; its reason is empty when no finding asks for it.

    A job that is done for each finding of a key takes so many times as long, and so many parts.
    """
    answered = [each for each in findings if each.key in job.answers]
    count = max(1, sum(each.key == job.each_of for each in answered))
    return Suggestion(
        key=job.key,
        title=_("{what} ({n} in all)").format(what=_(job.title), n=count)
        if count > 1
        else _(job.title),
        reason=plain_words(answered),
        evidence=tuple(each.evidence for each in answered if each.evidence),
        need=most_needed(each.need for each in answered),
        risk=_(job.risk),
        if_left=_(job.if_left),
        time=replace(
            job.time, least_min=count * job.time.least_min, most_min=count * job.time.most_min
        ),
        parts=tuple(_(each) for each in job.parts) * count,
        outwork=_(job.outwork),
        depth=job.depth,
    )


def chance(probability: float) -> str:
    """Return a probability in words for the owner."""
    return _(chance_words(probability))


def plain_words(findings: list[SeenFinding]) -> str:
    """Return what was found in words for the owner, each sentence once."""
    return " ".join(dict.fromkeys(_(each.plain) for each in findings))


def unanswered(findings: tuple[SeenFinding, ...]) -> tuple[SeenFinding, ...]:
    """Return the findings no option answers: free words and weak points, for the workshop to do."""
    known = {key for job in JOBS for key in job.answers} | OVERHAUL_ANSWERS
    return tuple(each for each in findings if each.key not in known)


def barrel_options(verdict: Verdict) -> tuple[Suggestion, ...]:
    """Return what the measured wear of the barrel's holes asks for.

    It asks for nothing if it may be left, nor as long as what nobody measured would decide.
    """
    if verdict.action in (Action.LEAVE, Action.MEASURE):
        return ()
    if verdict.action is Action.WATCH:
        return (watch_option(verdict),)
    if verdict.action is Action.REPLACE:
        return (replace_option(verdict),)
    if verdict.action is Action.BUSH:
        return (bearing_option(verdict, jewel=False),)
    jewel = bearing_option(verdict, jewel=True)
    return (jewel, bearing_option(verdict, jewel=False, instead_of=jewel.key))


def bearing_option(verdict: Verdict, *, jewel: bool, instead_of: str | None = None) -> Suggestion:
    """Return the option of new holes: jewels, or bushes of metal."""
    kind = "jewel" if jewel else "bush"
    count = len(verdict.places)
    return Suggestion(
        key=f"{kind}-{'-'.join(verdict.places)}",
        title=_(NEW_HOLES[kind, verdict.places]),
        reason=reason(verdict),
        evidence=evidence(verdict),
        need=WorkNeed.POSSIBLE if instead_of else need_of(verdict),
        risk=_(CUT_RISK).format(change=_(JEWEL_CHANGE if jewel else BUSH_CHANGE)),
        if_left=if_left(verdict),
        time=WorkTime(least_min=60 * count, most_min=120 * count),
        parts=tuple(_(NEW_PARTS[kind, each]) for each in verdict.places),
        instead_of=instead_of,
        depth=OpeningDepth.APART,
    )


def replace_option(verdict: Verdict) -> Suggestion:
    """Return the option of a new part, where new holes would not serve."""
    return Suggestion(
        key="replace-barrel",
        title=_("Barrel, arbor or bridge replaced or made anew"),
        reason=f"{reason(verdict)} {_('New holes alone would not cure it.')}",
        evidence=evidence(verdict),
        need=need_of(verdict),
        risk=_(
            "The part must be found or made, and a bridge carries numbers and finish that a new "
            "one lacks. The old part is kept for you."
        ),
        if_left=if_left(verdict),
        time=WorkTime(least_min=120, most_min=360),
        parts=(_("barrel, arbor or bridge"),),
        depth=OpeningDepth.APART,
    )


def watch_option(verdict: Verdict) -> Suggestion:
    """Return the option of measuring again at the next service."""
    return Suggestion(
        key="measure-again",
        title=_("The barrel's holes measured again at the next service (nothing to pay now)"),
        reason=_(
            "The holes in which the barrel turns, the drum with the mainspring in it, have "
            "begun to wear, but not so far that they must be repaired now."
        ),
        evidence=evidence(verdict),
        risk=_("None: nothing is changed now."),
        if_left=_("The wear is not noticed until the barrel rubs."),
        time=WorkTime(least_min=0, most_min=0),
        need=WorkNeed.POSSIBLE,
    )


def need_of(verdict: Verdict) -> WorkNeed:
    """Return how needed the repair is: necessary only where the barrel surely rubs."""
    return WorkNeed.NECESSARY if verdict.probability >= RUBS_SURELY else WorkNeed.ADVISED


def reason(verdict: Verdict) -> str:
    """Return in plain words what is wrong with each of the barrel's holes, by its own size."""
    holes = (hole_words(verdict, place) for place in BOTH)
    return " ".join((_(BARREL_IN_WORDS), *holes))


def hole_words(verdict: Verdict, place: BearingPlace) -> str:
    """Return what the play of one hole says, against what is normal for it, and why it is cut."""
    hole = _(HOLES[place])
    if place in verdict.unmeasured:
        return f"{_('{hole} was not measured.').format(hole=hole)}{why_too(verdict, place)}"
    bearing = verdict.below if place is BearingPlace.BELOW else verdict.above
    worn = verdict.worn_below if place is BearingPlace.BELOW else verdict.worn_above
    most, shake = normal_play(bearing).high_mm, side_shake(bearing)
    told = worn_words(worn, begun=probability_below(shake, most) < 1 - SURE).format(
        hole=hole,
        chance=chance(worn),
        size=_("its play is {play} mm, and up to {most} mm is normal").format(
            play=figures(shake.text()), most=figures(f"{most:.3f}")
        ),
    )
    return told if worn >= EVEN else f"{told}{why_too(verdict, place)}"


def worn_words(worn: float, *, begun: bool) -> str:
    """Return how a hole is called that is worn with a probability of `worn`, to be filled in."""
    if worn >= SURE:
        return _("{hole} is worn: {size}.")
    if worn >= EVEN:
        return _("{hole} is probably worn ({chance}): {size}.")
    return (
        _("{hole} has begun to wear: {size}.")
        if begun
        else _("{hole} is not shown to be worn: {size}.")
    )


def why_too(verdict: Verdict, place: BearingPlace) -> str:
    """Return why a hole that is not worn is cut all the same; empty when it is left alone."""
    others = tuple(each for each in verdict.places if each is not place)
    if place not in verdict.places or verdict.action is Action.REPLACE:
        return ""
    without = next(each.rubs_after for each in verdict.options if each.places == others)
    told = _(
        "It is made anew too, since without that the barrel could still reach the {part} with a "
        "probability of {chance}."
    )
    return f" {told.format(part=_(verdict.free.gap.name), chance=chance(without))}"


def evidence(verdict: Verdict) -> tuple[str, ...]:
    """Return what was measured and reckoned, in sentences an owner can follow."""
    free, repaired = verdict.free, after_repair(verdict)
    told = _(
        "When the barrel leans as far as it can, the gap left to the {part} is {gap} mm (below 0, "
        "they touch); that they touch has a probability of {chance}."
    ).format(
        part=_(free.gap.name),
        gap=figures(free.left_mm.text()),
        chance=chance(verdict.probability),
    )
    after = ""
    if repaired is not None:
        after = _("After the repair it is {chance}.").format(chance=chance(repaired))
    return tuple(each for each in (told, after, gain_words(verdict)) if each)


def after_repair(verdict: Verdict) -> float | None:
    """Return the probability of rubbing after the repair; None when no repair is asked for."""
    found = (each.rubs_after for each in verdict.options if each.places == verdict.places)
    return next(found, None) if verdict.places else None


def gain_words(verdict: Verdict) -> str:
    """Return what the repair may bring, in plain words; empty when it was not reckoned."""
    if verdict.gain is None or not verdict.places:
        return ""
    most = verdict.gain.amplitude_deg.most
    if most < LEAST_GAIN_DEG:
        return _("The repair stops the wear; it will not make the watch run more strongly.")
    return _(
        "The balance, the wheel that swings and keeps the time, may swing up to {most:.0f} degrees "
        "wider after it, perhaps no wider at all: the repair stops the wear, it does not cure a "
        "weak watch."
    ).format(most=most)


def if_left(verdict: Verdict) -> str:
    """Return what happens if the barrel is left as it is."""
    return _(IF_LEFT).format(part=_(verdict.free.gap.name), chance=chance(verdict.probability))
