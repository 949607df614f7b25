"""`sideshake clock`: check how fast the recorder's own clock runs."""

import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from cyclopts import Parameter

from sideshake.command.options import Flag, Json
from sideshake.command.say import CommandAnswer, Grid, say
from sideshake.core.quantities import Measured, ppm_to_s_per_day
from sideshake.sample_clock.kept import (
    USUAL_RECORDER,
    clocks_file,
    forget_clock,
    keep_clock,
    kept_clocks,
)
from sideshake.sound.clock import SampleClock

if TYPE_CHECKING:
    from sideshake.sample_clock.checked import ClockFound

File = Annotated[Path | None, Parameter(allow_leading_hyphen=True)]


def clock(
    file: File = None,
    /,
    *,
    beats_per_hour: float = 3600.0,
    within: float = 10.0,
    recorder: str = USUAL_RECORDER,
    forget: Flag = False,
    as_json: Json = False,
) -> None:
    """Check the recorder's clock against something whose beat is known, or list the clocks checked.

    Record a quartz watch or clock that steps once a second (or a pulse per second from a receiver)
    for five minutes with the microphone and computer you use for watches. "-" reads standard input.
    Less does not do for a quartz watch: many correct themselves only once a minute.

    Parameters
    ----------
    file
        The recording of the reference; left out, the clocks checked so far are listed.
    beats_per_hour
        The reference's beats an hour; 3600 is one a second.
    within
        How far the reference itself may be off, in parts per million: 10 for an ordinary quartz
        watch (about 26 s a month, common practice), 0 for a pulse from a satellite receiver.
    recorder
        A name for the microphone or sound card, if you use more than one.
    forget
        Take this recorder's clock off the list.
    as_json
        Write JSON instead of words.
    """
    if forget:
        forget_clock(recorder)
        say(
            CommandAnswer(schema="clock", sentences=[f"Forgot the clock of {recorder}."]),
            as_json=as_json,
        )
        return
    if file is None:
        say(listed(kept_clocks()), as_json=as_json)
        return
    found = check(file, beats_per_hour, within, recorder)
    keep_clock(found.clock)
    say(told(found), as_json=as_json)


def check(file: Path, beats_per_hour: float, within: float, recorder: str) -> "ClockFound":
    """Return the recorder's clock from the recording of a reference, if it is worth keeping."""
    from sideshake.command.listen import hear_file, refuse_options
    from sideshake.sample_clock import checked as clock_check

    refuse_options([str(file)])
    clock_check.require_reference(within)
    found = clock_check.clock_from_tick(
        hear_file(str(file), beats_per_hour),
        beats_per_hour=beats_per_hour,
        within_ppm=within,
        name=recorder,
        date=datetime.datetime.now(tz=datetime.UTC).date().isoformat(),
    )
    clock_check.require_worth_keeping(found.clock)
    return found


def told(found: "ClockFound") -> CommandAnswer:
    """Return what was found out about one clock."""
    checked = found.clock
    fast = checked.fast_ppm
    day = Measured(abs(ppm_to_s_per_day(fast.value)), ppm_to_s_per_day(fast.u))
    way = "fast: watches seem to lose" if fast.value >= 0 else "slow: watches seem to gain"
    notes = [f"Kept in {clocks_file()}; every reading with this recorder is now corrected."]
    if found.more_s:
        notes.append(f"Only {found.heard_s:.0f} s were heard; five minutes make this surer.")
    return CommandAnswer(
        schema="clock",
        heard=True,
        sentences=[
            f"The clock of {checked.name} is {Measured(abs(fast.value), fast.u).text()} ppm {way} "
            f"{day.text()} s a day (± is the 95 % interval)."
        ],
        notes=notes,
        figures={"clock": figures(checked)},
    )


def listed(clocks: dict[str, SampleClock]) -> CommandAnswer:
    """Return the list of the clocks checked so far."""
    if not clocks:
        return CommandAnswer(
            schema="clock",
            sentences=[
                "No clock has been checked yet: record a quartz watch for five minutes and give "
                "the recording to `sideshake clock`."
            ],
            figures={"clocks": []},
        )
    rows = [(name, each.fast_ppm.text(sign=True), each.date) for name, each in clocks.items()]
    return CommandAnswer(
        schema="clock",
        sentences=["Clocks checked so far; ± is the 95 % interval."],
        grids=[
            Grid(
                title="",
                columns=("recorder", "fast by, ppm", "checked on"),
                rows=rows,
                numbers=(1,),
            )
        ],
        figures={"clocks": [figures(each) for each in clocks.values()]},
    )


def figures(checked: SampleClock) -> dict[str, object]:
    """Return one clock in figures."""
    return {
        "recorder": checked.name,
        "fast_ppm": checked.fast_ppm.value,
        "u_ppm": checked.fast_ppm.u,
        "date": checked.date,
        "how": checked.how,
    }
