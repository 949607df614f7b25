"""What `sideshake barrel` says: its sentences, tables and notes."""

from sideshake.command.say import Grid
from sideshake.movement.kinds import friction_clutch
from sideshake.movement.sheet import CalibreSheet
from sideshake.wear.bearing import Bearing, normal_play, ovality, probability_worn, side_shake
from sideshake.wear.measurements import Bench
from sideshake.wear.mesh import DepthChange, coupling_jump_s
from sideshake.wear.rubbing import Rubbing, chance_short, chance_words, rubbing
from sideshake.wear.tilt import Lean, lean, worst_stance
from sideshake.wear.verdict import Verdict

MEMORY = (
    "From memory or common practice, no source: a sheet's play taken give or take a third, acting "
    "at twice the normal play, a pressure angle of 15 degrees, 5 to 10 % of the module as the "
    "limit of depth."
)


def lean_sentence(leaning: Lean) -> str:
    """Return how far it leans, in words."""
    return (
        f"The largest lean is {leaning.angle_deg.text()} degrees: the rim moves "
        f"{leaning.rim_move_mm.text()} mm up on one side and down on the other."
    )


def doubt_sentence(judged: Verdict) -> str:
    """Return which measurement to repeat, and whether the two ways of reckoning agree."""
    if not judged.doubt:
        return "No measurement carries an uncertainty, so the verdict has none."
    agreement = "agree" if judged.free.ways_agree else "differ: trust the sampled one"
    return (
        f"The largest doubt comes from the {judged.doubt.name} "
        f"({chance_words(judged.doubt.share)} of it): repeat that first. First order says "
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
    return [f"{words} The mesh's own pull moves it {percent_of_module(pulled)} {way} it."]


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
    named = [("bridge (above)", barrel.arbor.upper), ("plate (below)", barrel.arbor.lower)]
    if barrel.inner:
        named += [("lid on arbor", barrel.inner.upper), ("floor on arbor", barrel.inner.lower)]
    return Grid(
        title="Bearings (mm)",
        columns=["bearing", "side shake", "oval by", "normal", "worn"],
        rows=[[name, *bearing_row(each)] for name, each in named],
        numbers=(1, 2, 3, 4),
    )


def bearing_row(bearing: Bearing) -> list[str]:
    """Return one bearing's figures."""
    normal = normal_play(bearing)
    oval = ovality(bearing.hole)
    return [
        side_shake(bearing).text(),
        oval.text() if oval.value else "round",
        f"{normal.low_mm:.3f}-{normal.high_mm:.3f}",
        chance_short(probability_worn(bearing)),
    ]


def lean_grid(lying: Bench, judged: Verdict) -> Grid:
    """Return the table of the leans: free, under the mesh's pull, under the winding thrust."""
    stances = [("as far as it can", judged.free.stance)]
    stances += [("running, mesh pulls", lying.case.running)] if lying.case.running else []
    stances += [("winding", lying.winding)] if lying.winding else []
    rows = []
    for name, stance in stances:
        found = lean(lying.case.barrel, stance, lying.rim_radius_mm)
        up = f"{(found.towards_deg + 180) % 360:.0f}°" if found.angle_deg.value > 1e-3 else "none"
        rows.append([name, found.angle_deg.text(), found.rim_move_mm.text(), up])
    return Grid(
        title="Lean (degrees, mm); directions from 3 o'clock, counter-clockwise, from the bridge",
        columns=["when", "lean", "rim moves", "rim up at"],
        rows=rows,
        numbers=(1, 2, 3),
    )


def rubbing_grid(lying: Bench) -> Grid:
    """Return the table of the gaps, leaning freely and pulled by the mesh."""
    barrel, running = lying.case.barrel, lying.case.running
    rows = []
    for gap in barrel.gaps:
        free = rubbing(barrel, worst_stance(barrel, gap), gap)
        pulled = rubbing(barrel, running, gap) if running else None
        rows.append([gap.name, *rubbing_row(free), *(rubbing_row(pulled) if pulled else ["", ""])])
    return Grid(
        title="Gap left (mm) and probability of rubbing",
        columns=["part", "free lean", "rubs", "under mesh pull", "rubs"],
        rows=rows,
        numbers=(1, 2, 3, 4),
    )


def rubbing_row(found: Rubbing) -> list[str]:
    """Return what is left of a gap and how likely it rubs."""
    return [found.left_mm.text(), chance_short(found.probability)]


def notes(lying: Bench, judged: Verdict) -> list[str]:
    """Return where values come from, and what stands still."""
    default = (
        f"A length without its own uncertainty counts as known to {lying.u_mm:g} mm (standard)."
    )
    said = [source_words(lying), MEMORY, default]
    if not lying.arbor_turns:
        said.append(
            "In this going barrel the arbor stands still in plate and bridge while the watch runs "
            "and turns there only while it is wound; the barrel turns on the arbor."
        )
    if lying.from_sheet:
        said.append(f"Not measured, taken from the sheet: {', '.join(lying.from_sheet)}.")
    if judged.running is None:
        said.append("Give [directions] to know the lean under the mesh's pull and the cause.")
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
