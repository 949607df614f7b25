"""What `sideshake barrel` says: its sentences, tables and notes."""

from sideshake.analysis.barrel_tables import Rows, gap_rows, lean_rows
from sideshake.command.barrel_sizes import cost_notes, unmeasured_notes
from sideshake.command.say import Grid
from sideshake.movement.sheet import CalibreSheet
from sideshake.wear.bearing import normal_play
from sideshake.wear.measure_first import is_measured, words_of
from sideshake.wear.measurements import Bench
from sideshake.wear.rubbing import chance_words
from sideshake.wear.verdict import Verdict
from sideshake.wear.words import PoseSeen

MEMORY = (
    "From memory or common practice, no source: a sheet's play taken give or take a third, acting "
    "at twice the normal play, a pressure angle of 15 degrees, friction within 10 degrees, 5 to "
    "10 % of the module as the limit of depth."
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


def bearing_grid(rows: Rows) -> Grid:
    """Return the table of the bearings."""
    return Grid(
        title="Bearings (mm)",
        columns=["bearing", "side shake", "oval by", "normal", "worn"],
        rows=rows,
        numbers=(1, 2, 3, 4),
    )


def lean_grid(poses: tuple[PoseSeen, ...]) -> Grid:
    """Return the table of the leans: free, under way, while it is wound."""
    return Grid(
        title="Lean (degrees, mm); directions from 3 o'clock, counter-clockwise, from the bridge",
        columns=["when", "lean", "rim moves", "rim up at"],
        rows=lean_rows(poses),
        numbers=(1, 2, 3),
    )


def rubbing_grid(poses: tuple[PoseSeen, ...]) -> Grid:
    """Return the table of the gaps, leaning freely, under way and while it is wound."""
    return Grid(
        title="Gap left (mm) and probability of rubbing",
        columns=["part", "when", "gap left", "rubs", "at"],
        rows=gap_rows(poses),
        numbers=(2, 3, 4),
    )


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
