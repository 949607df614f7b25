"""What `sideshake barrel` says: its sentences, tables and notes."""

from sideshake.command.barrel_sizes import cost_notes, play_text, unmeasured_notes
from sideshake.command.say import Grid
from sideshake.movement.kinds import friction_clutch
from sideshake.movement.sheet import CalibreSheet
from sideshake.wear.barrel import Barrel
from sideshake.wear.bearing import Bearing, normal_play, ovality
from sideshake.wear.draws import Lean
from sideshake.wear.measure_first import is_measured, words_of
from sideshake.wear.measurements import Bench
from sideshake.wear.mesh import DepthChange, coupling_jump_s
from sideshake.wear.outlook import LOWER, OWN, UPPER, chance_worn
from sideshake.wear.rubbing import Rubbing, chance_short, chance_words
from sideshake.wear.verdict import Action, Verdict
from sideshake.wear.words import PoseSeen

MEMORY = (
    "From memory or common practice, no source: a sheet's play taken give or take a third, acting "
    "at twice the normal play, a pressure angle of 15 degrees, friction within 10 degrees, 5 to "
    "10 % of the module as the limit of depth."
)


def lean_sentence(leaning: Lean, judged: Verdict) -> str:
    """Return how far it leans, in words: it may, where nobody measured what it rests on."""
    is_open = judged.action is Action.MEASURE
    return (
        f"The largest lean {'may be' if is_open else 'is'} {leaning.angle_deg.text()} degrees: the "
        "rim moves "
        f"{leaning.rim_move_mm.text()} mm up on one side and down on the other."
    )


def doubt_sentence(lying: Bench, judged: Verdict) -> str:
    """Return which measurement to repeat, and whether the two ways of reckoning agree."""
    if not judged.doubt:
        return "No measurement carries an uncertainty, so the verdict has none."
    agreement = "agree" if judged.free.ways_agree else "differ: trust the sampled one"
    barrel, doubt = lying.case.barrel, judged.doubt
    repeat = " Repeat that first." if is_measured(barrel, doubt.name) else ""
    return (
        f"The largest doubt comes from the {words_of(barrel, doubt.name)} "
        f"({chance_words(doubt.share)} of it).{repeat} First order says "
        f"{chance_words(judged.free.first_order)}, {judged.free.draws} random draws say "
        f"{chance_words(judged.free.sampled)}: they {agreement}."
    )


def depth_sentences(most: DepthChange | None, pulled: DepthChange | None) -> list[str]:
    """Return what the play takes from the mesh, if the module is known."""
    if most is None:
        return []
    words = (
        f"At the teeth the play lets the barrel move by {most.change_mm.text()} mm, "
        f"{percent_of_module(most)}: {most.depth} if all of it goes away from the pinion."
    )
    if pulled is None:
        return [words]
    way = "away from" if pulled.change_mm.value > 0 else "towards"
    return [f"{words} The loads under way move it {percent_of_module(pulled)} {way} it."]


def percent_of_module(change: DepthChange) -> str:
    """Return a change of depth as "6 % of the module"."""
    return f"{100 * abs(change.share_of_module.value):.0f} % of the module"


def chronograph_sentences(calibre: CalibreSheet) -> list[str]:
    """Return what a worn barrel means to a chronograph on top of it."""
    chronograph = calibre.chronograph
    if not (chronograph and chronograph.wheel_teeth) or friction_clutch(calibre):
        return []
    jump = coupling_jump_s(chronograph.wheel_teeth)
    over = (
        " Its parts lie close over the barrel and feel the lean first."
        if chronograph.works_over_barrel
        else ""
    )
    return [f"The chronograph's hand may jump {jump:.2f} s, one tooth, when it starts.{over}"]


def bearing_grid(lying: Bench) -> Grid:
    """Return the table of the bearings."""
    barrel = lying.case.barrel
    named = [
        ("bridge (above)", UPPER, barrel.arbor.upper),
        ("plate (below)", LOWER, barrel.arbor.lower),
    ]
    if barrel.inner:
        named += [
            ("lid on arbor", OWN + UPPER, barrel.inner.upper),
            ("floor on arbor", OWN + LOWER, barrel.inner.lower),
        ]
    return Grid(
        title="Bearings (mm)",
        columns=["bearing", "side shake", "oval by", "normal", "worn"],
        rows=[[name, *bearing_row(barrel, end, each)] for name, end, each in named],
        numbers=(1, 2, 3, 4),
    )


def bearing_row(barrel: Barrel, end: str, bearing: Bearing) -> list[str]:
    """Return one bearing's figures."""
    normal = normal_play(bearing)
    oval = ovality(bearing.hole)
    return [
        play_text(barrel, end, bearing),
        oval.text() if oval.value else "round",
        f"{normal.low_mm:.3f}-{normal.high_mm:.3f}",
        chance_short(chance_worn(barrel, end, bearing)),
    ]


def lean_grid(seen: tuple[PoseSeen, ...]) -> Grid:
    """Return the table of the leans: free, under way, while it is wound."""
    rows = []
    for each in seen:
        found = each.lean
        up = f"{(found.towards_deg + 180) % 360:.0f}°" if found.angle_deg.value > 1e-3 else "none"
        rows.append([each.name, found.angle_deg.text(), found.rim_move_mm.text(), up])
    return Grid(
        title="Lean (degrees, mm); directions from 3 o'clock, counter-clockwise, from the bridge",
        columns=["when", "lean", "rim moves", "rim up at"],
        rows=rows,
        numbers=(1, 2, 3),
    )


def rubbing_grid(seen: tuple[PoseSeen, ...]) -> Grid:
    """Return the table of the gaps, leaning freely, under way and while it is wound."""
    by_part = zip(*(each.gaps for each in seen), strict=True)
    return Grid(
        title="Gap left (mm) and probability of rubbing",
        columns=["part", "when", "gap left", "rubs", "at"],
        rows=[
            [found.gap.name, each.name, *rubbing_row(found)]
            for part in by_part
            for each, found in zip(seen, part, strict=True)
        ],
        numbers=(2, 3, 4),
    )


def rubbing_row(found: Rubbing) -> list[str]:
    """Return what is left of a gap, how likely it rubs, and where."""
    at = "all round" if found.at_deg is None else f"{found.at_deg:.0f}°"
    return [found.left_mm.text(), chance_short(found.probability), at]


def notes(lying: Bench, judged: Verdict) -> list[str]:
    """Return where values come from, and what stands still."""
    default = (
        f"A length without its own uncertainty counts as known to {lying.u_mm:g} mm (standard)."
    )
    said = [source_words(lying), MEMORY, default]
    if not lying.unusual:
        said.append(
            "In this going barrel the arbor stands still in plate and bridge while the watch runs "
            "and turns there only while it is wound; the barrel turns on the arbor."
        )
    said += unmeasured_notes(lying) + cost_notes(judged)
    if judged.running and lying.partner_deg is None:
        said.append("Give [directions] to know the lean under way and what wore a hole.")
    return said


def source_words(lying: Bench) -> str:
    """Return where the normal plays come from, and how far they may be trusted."""
    pair = lying.case.barrel.arbor
    found = {normal_play(each) for each in (pair.lower, pair.upper)}
    words = sorted({f"{each.source} (confidence: {each.confidence})" for each in found})
    return f"Normal plays come from {' and '.join(words)}."


def memory_notes(calibre: CalibreSheet) -> list[str]:
    """Return which of the sheet's lines used here are from memory."""
    memory = calibre.from_memory("barrel", "mainspring")
    return [f"From memory, in the sheet: {', '.join(memory)}."] if memory else []
