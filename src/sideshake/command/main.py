"""The command `sideshake`: one page of what it can do; each command is loaded when it is called."""

import os
import sys
from collections.abc import Sequence

from cyclopts import App

from sideshake.command.faults import told
from sideshake.core.version import EAR, PROGRAM

# One thread for each product of matrices: ours are small, and waiting threads would take twice the
# processor's time (docs/performance.md). It must be said before numpy is loaded.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

EXIT_STOPPED = 130

app = App(
    name="sideshake",
    version=f"{PROGRAM}, ear {EAR}",
    help="Hear, measure, decide, fit and prove: the watch restorer's bench companion.",
    help_epilogue=(
        "It ends with 0 if all went well, 2 if something given cannot be used, 3 if it holds no "
        "answer (a recording without a watch), 130 if stopped, 1 after a fault of its own."
    ),
    suppress_keyboard_interrupt=False,
)

app.command(
    "sideshake.command.hear:hear",
    name="hear",
    help=(
        "How a watch runs, from recordings of its ticking or live.\n\nRate, amplitude and beat "
        "error, each with its 95 % interval. Half a minute or more, the microphone close to the "
        "watch. --live listens to the microphone instead."
    ),
)
app.command(
    "sideshake.command.compare:compare",
    name="compare",
    help="What has changed from one recording of a watch to another, and whether that is real.",
)
app.command(
    "sideshake.command.clock:clock",
    name="clock",
    help=(
        "Check how fast the recorder's own clock runs, or list the clocks checked.\n\nRecord a "
        "quartz watch or clock that steps once a second (or a pulse per second from a receiver) "
        "for five minutes, with the microphone and computer you use for watches."
    ),
)
app.command(
    "sideshake.command.demo:demo",
    name="demo",
    help="Read and judge demo recordings; fill a demo workshop with two years of visits.",
)

calibre = App(name="calibre", help="Start a calibre sheet, or check one.")
calibre.command(
    "sideshake.command.calibre:new",
    name="new",
    help="Write a blank sheet with the meaning of every line.",
)
calibre.command(
    "sideshake.command.calibre:check", name="check", help="Say what can be computed from a sheet."
)
calibre.command(
    "sideshake.command.calibre:convert",
    name="convert",
    help="Carry over a file whose +- meant one standard deviation.",
)
app.command(calibre)
app.command("sideshake.command.train:train", name="train", help="Beats, periods, lost wheels.")
app.command(
    "sideshake.command.spring:spring",
    name="spring",
    help="Turns and torque; what a low amplitude says.",
)
app.command(
    "sideshake.command.balance:balance",
    name="balance",
    help="Hairspring, index, weight, warmth, pivots: what follows from what is known.",
)
app.command(
    "sideshake.command.winding:winding",
    name="winding",
    help="Turns of the crown and of the rotor; does the rotor rub?",
)
app.command(
    "sideshake.command.quickset:quickset",
    name="quickset",
    help="The hours in which a date must not be set.",
)
app.command(
    "sideshake.command.carecard:carecard",
    name="carecard",
    help="The card an owner keeps by the watch, as PDF.",
)
app.command(
    "sideshake.command.paper:paper",
    name="paper",
    help="A visit's report, proposal, invoice, care card, bench sheet, labels or jewel order.",
)
app.command(
    "sideshake.command.show:show",
    name="show",
    help="A visit's story without names and numbers, as a folder for any web host.",
)
app.command(
    "sideshake.command.barrel:barrel",
    name="barrel",
    help="How far a barrel leans, whether it rubs, what to do.",
)
app.command(
    "sideshake.command.bearing:bearing",
    name="bearing",
    help="How far any other bearing is worn: train, balance, rotor, chronograph, calendar.",
)
app.command(
    "sideshake.command.jewel:jewel",
    name="jewel",
    help="Which jewel or bush, how it fits, the way there, the maker's drawing.",
)
look = App(name="look", help="Measure in a photograph.")
look.command(
    "sideshake.command.look:hole",
    name="hole",
    help=(
        "A hole in a photograph: size, oval, which way it wore.\n\nA printed card (sideshake card) "
        "beside the part, a pin of known size, or two points on a rule give the scale."
    ),
)
look.command(
    "sideshake.command.look_wheel:wheel",
    name="wheel",
    help=(
        "A wheel in a photograph: how many teeth, which are missing or harmed.\n\nOutside or "
        "inside teeth, ratchets, date rings; best lit from behind or on plain ground."
    ),
)
look.command(
    "sideshake.command.look_pivot:pivot",
    name="pivot",
    help="A pivot in silhouette: how thick, how straight, how tapered.",
)
app.command(look)
app.command(
    "sideshake.command.card:card",
    name="card",
    help="The card that gives a photograph its scale, as PDF.",
)
app.command(
    "sideshake.command.batch:batch",
    name="batch",
    help="Which few jewel sizes to have made for many repairs.",
)
app.command(
    "sideshake.command.bench:bench",
    name="bench",
    help="Open the workshop: every visit from parcel to gone home, in the browser.",
)
app.command(
    "sideshake.command.hear_again:hear_again",
    name="hear-again",
    help="Kept recordings heard anew by the present ear: of a watch, a visit, or all.",
)
app.command(
    "sideshake.command.backup:backup",
    name="backup",
    help="Write the whole workshop into one file: records, photographs, recordings.",
)
app.command(
    "sideshake.command.backup:restore",
    name="restore",
    help="Bring the workshop back from such a file, on SQLite or PostgreSQL.",
)
app.command(
    "sideshake.command.tables:export",
    name="export",
    help="Write every table of the workshop as CSV, and all as one JSON.",
)
app.command(
    "sideshake.command.tables:import_",
    name="import",
    help="Take owners and watches in from a CSV file; --dry-run only says what would happen.",
)


def main(tokens: Sequence[str] | None = None) -> None:
    """Run the command line; whatever goes wrong becomes one line and an exit code."""
    try:
        app(sys.argv[1:] if tokens is None else tokens)
    except KeyboardInterrupt:
        fail("stopped", EXIT_STOPPED)
    except BrokenPipeError:
        quiet_end()
    except Exception as fault:  # noqa: BLE001 - the outermost: what comes here is told, in a line
        fail(*told(fault))


def fail(message: str, code: int) -> None:
    """Write one line to standard error and end with `code`."""
    sys.stderr.write(f"sideshake: {message}\n")
    raise SystemExit(code)


def quiet_end() -> None:
    """End since nobody reads the answer any more, as in `sideshake hear x.wav | head -1`."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    raise SystemExit(EXIT_STOPPED)
