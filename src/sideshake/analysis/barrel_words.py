"""What is said of a barrel's lean, of what its play does to the mesh, and what it all rests on."""

from sideshake.movement.kinds import friction_clutch
from sideshake.movement.sheet import CalibreSheet
from sideshake.wear.bearing import normal_play
from sideshake.wear.draws import Lean
from sideshake.wear.measurements import Bench
from sideshake.wear.mesh import DepthChange, coupling_jump_s
from sideshake.wear.verdict import Action, Verdict

MEMORY = (
    "From memory or common practice, no source: a sheet's play taken give or take a third, acting "
    "at twice the normal play, a pressure angle of 15 degrees, friction within 10 degrees, 5 to "
    "10 % of the module as the limit of depth."
)
STANDS_STILL = (
    "In this going barrel the arbor stands still in plate and bridge while the watch runs and "
    "turns there only while it is wound; the barrel turns on the arbor."
)


def lean_sentence(leaning: Lean, judged: Verdict) -> str:
    """Return how far it leans, in words: it may, where nobody measured what it rests on."""
    is_open = judged.action is Action.MEASURE
    return (
        f"The largest lean {'may be' if is_open else 'is'} {leaning.angle_deg.text()} degrees: the "
        "rim moves "
        f"{leaning.rim_move_mm.text()} mm up on one side and down on the other."
    )


def mesh_sentences(
    calibre: CalibreSheet, most: DepthChange | None, pulled: DepthChange | None
) -> tuple[str, ...]:
    """Return what the play takes from the mesh, and what it means to a chronograph on top of it."""
    return (*depth_sentences(most, pulled), *chronograph_sentences(calibre))


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


def basis(on_bench: Bench) -> tuple[str, ...]:
    """Return what the figures rest on: where values come from, and what stands still."""
    default = (
        f"A length without its own uncertainty counts as known to {on_bench.u_mm:g} mm (standard)."
    )
    return (source_words(on_bench), MEMORY, default, *([] if on_bench.unusual else [STANDS_STILL]))


def source_words(on_bench: Bench) -> str:
    """Return where the normal plays come from, and how far they may be trusted."""
    pair = on_bench.case.barrel.arbor
    found = {normal_play(each) for each in (pair.lower, pair.upper)}
    words = sorted({f"{each.source} (confidence: {each.confidence})" for each in found})
    return f"Normal plays come from {' and '.join(words)}."


def memory_notes(calibre: CalibreSheet) -> list[str]:
    """Return which of the sheet's lines used here are from memory."""
    memory = calibre.from_memory("barrel", "mainspring")
    return [f"From memory, in the sheet: {', '.join(memory)}."] if memory else []
