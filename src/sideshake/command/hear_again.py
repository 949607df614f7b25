"""`sideshake hear-again`: kept recordings heard by the present ear, with a way back."""

import sys
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Annotated, Any

from cyclopts import Parameter

from sideshake.command.database import use_workshop
from sideshake.command.faults import EXIT_INPUT
from sideshake.command.main import EXIT_STOPPED, fail
from sideshake.command.options import Flag, Json
from sideshake.command.say import CommandAnswer, Grid, say
from sideshake.core.errors import InputError

if TYPE_CHECKING:
    from sideshake.web.models import Earlier, Reading, Rehearing
    from sideshake.web.rehearing.asked import RehearingAsked


def hear_again(
    *,
    watch: Annotated[
        int | None, Parameter(help="The watch's number, as its page's address ends: /watches/N/.")
    ] = None,
    visit: Annotated[str, Parameter(help="The visit's number.")] = "",
    all_: Annotated[
        bool, Parameter(name="--all", help="Every watch of the workshop.", negative="")
    ] = False,
    everything: Flag = False,
    as_json: Json = False,
) -> None:
    """Hear kept recordings of the workshop again, those that an older ear has heard.

    What each reading said before is kept: its page, and the run's in the workshop, put it back.
    Ctrl-C leaves what is not heard again yet as it was.

    Parameters
    ----------
    everything
        Also those that this ear has heard already.
    as_json
        Write JSON instead of words.
    """
    if [watch is not None, bool(visit), all_].count(True) != 1:
        raise InputError("say whose recordings: --watch N, --visit NUMBER or --all")
    use_workshop()
    from sideshake.web.rehearing.services import begin
    from sideshake.web.storage.reached import require_up_to_date

    require_up_to_date()
    run = begin(asked(watch, visit, everything=everything), None)
    faults = hear(run)
    say(answer(run), as_json=as_json)
    if faults:
        raise SystemExit(EXIT_INPUT)


def asked(watch: int | None, visit: str, *, everything: bool) -> "RehearingAsked":
    """Return whose readings are to be heard again.

    Raises
    ------
    InputError : there is no such watch or visit
    """
    from sideshake.web.documents.registry.requests import visit_of
    from sideshake.web.models import Watch
    from sideshake.web.rehearing.asked import of_all, of_visit, of_watch

    if visit:
        return of_visit(visit_of(visit), everything=everything)
    if watch is None:
        return of_all(everything=everything)
    found = Watch.objects.filter(pk=watch).first()
    if found is None:
        raise InputError(f"there is no watch {watch}; its page's address ends with its number")
    return of_watch(found, everything=everything)


def hear(run: "Rehearing") -> int:
    """Return how many of a run's readings could not be heard; names each at once.

    Ctrl-C stops the run and ends the program.
    """
    from sideshake.web.models import Fate
    from sideshake.web.rehearing.services import hear_run, stop, waiting_rows

    count, done, faults = waiting_rows().filter(run=run).count(), 0, 0
    try:
        for row in watched(hear_run(run), count):
            done += 1
            if row.fate == Fate.FAULT:
                faults += 1
                sys.stderr.write(f"sideshake: {row.reading.called}: {row.why}\n")
    except KeyboardInterrupt:
        stop(run)
        fail(f"stopped after {done} of {count}; the others are as they were", EXIT_STOPPED)
    return faults


def watched(rows: Iterable["Earlier"], count: int) -> Iterator["Earlier"]:
    """Yield each row; where somebody watches, show how many are done and which was the last."""
    if not sys.stderr.isatty():
        yield from rows
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("hearing again", total=count)
        for row in rows:
            bar.update(task, advance=1, description=row.reading.called)
            yield row


def answer(run: "Rehearing") -> CommandAnswer:
    """Return what has become of a run's readings."""
    from sideshake.web.rehearing.progress import progress_of

    rows = list(run.readings.select_related("reading__visit"))
    way_back = (
        f"The earlier figures are kept; /hear-again/{run.pk}/ in the workshop puts them back."
    )
    return CommandAnswer(
        schema="heard-again",
        heard=True,
        sentences=[f"{run}: {' '.join(progress_of(run).sentences)}"],
        grids=[
            Grid(
                title="",
                columns=("reading", "before", "now"),
                rows=[(row.reading.called, row.sentence, now(row)) for row in rows],
            )
        ],
        notes=[way_back],
        figures={"run": run.pk, "readings": [figures(row) for row in rows]},
    )


def now(row: "Earlier") -> str:
    """Return what a reading says now, or why it was left."""
    return f"{row.get_fate_display()}: {row.why}" if row.why else row.now


TOLD = (
    "rate_s_per_day", "rate_u_s_per_day", "amplitude_deg", "amplitude_u_deg", "beat_error_ms",
    "beat_error_u_ms",
)  # fmt: skip


def figures(row: "Earlier") -> dict[str, Any]:
    """Return a reading heard again in figures: before and now, each with the ear that heard it."""
    reading = row.reading
    before = {name: row.figures.get(name) for name in TOLD}
    return {
        "reading": reading.pk,
        "called": reading.called,
        "fate": row.fate,
        "why": row.why,
        "before": {**heard_by(row), **before},
        "now": {**heard_by(reading), **{name: getattr(reading, name) for name in TOLD}},
    }


def heard_by(row: "Earlier | Reading") -> dict[str, Any]:
    """Return what a reading says in a sentence, and who heard it."""
    return {"ear": row.ear, "program": row.program, "sentence": row.sentence}
