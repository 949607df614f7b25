"""What `sideshake barrel` says: its sentences, tables and notes."""

from sideshake.analysis.barrel_tables import Rows
from sideshake.analysis.barrel_words import basis
from sideshake.command.barrel_sizes import cost_notes, unmeasured_notes
from sideshake.command.say import Grid
from sideshake.wear.measure_first import is_measured, words_of
from sideshake.wear.measurements import Bench
from sideshake.wear.rubbing import chance_words
from sideshake.wear.verdict import Verdict


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


def lean_grid(rows: Rows) -> Grid:
    """Return the table of the leans: free, under way, while it is wound."""
    return Grid(
        title="Lean (degrees, mm); directions from 3 o'clock, counter-clockwise, from the bridge",
        columns=["when", "lean", "rim moves", "rim up at"],
        rows=rows,
        numbers=(1, 2, 3),
    )


def rubbing_grid(rows: Rows) -> Grid:
    """Return the table of the gaps, leaning freely, under way and while it is wound."""
    return Grid(
        title="Gap left (mm) and probability of rubbing",
        columns=["part", "when", "gap left", "rubs", "at"],
        rows=rows,
        numbers=(2, 3, 4),
    )


def notes(lying: Bench, judged: Verdict) -> list[str]:
    """Return where values come from, and what stands still."""
    said = [*basis(lying)]
    said += unmeasured_notes(lying) + cost_notes(judged)
    if judged.running and lying.partner_deg is None:
        said.append("Give [directions] to know the lean under way and what wore a hole.")
    return said
