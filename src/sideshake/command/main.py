"""The command `sideshake`: one page of what it can do; each command is loaded when it is called."""

import sys

from cyclopts import App

from sideshake.errors import InputError, NotEnough

EXIT_INPUT = 2
EXIT_NOT_ENOUGH = 3

app = App(
    name="sideshake",
    help="Hear, measure, decide, fit and prove: the watch restorer's bench companion.",
)

app.command("sideshake.command.barrel:barrel", name="barrel")
app.command("sideshake.command.jewel:jewel", name="jewel")
app.command("sideshake.command.batch:batch", name="batch")


def main() -> None:
    """Run the command line; an error we expected becomes one line and an exit code."""
    try:
        app()
    except InputError as error:
        fail(str(error), EXIT_INPUT)
    except NotEnough as error:
        fail(f"no reading: {error}", EXIT_NOT_ENOUGH)


def fail(message: str, code: int) -> None:
    """Write one line to standard error and end with `code`."""
    sys.stderr.write(f"sideshake: {message}\n")
    raise SystemExit(code)
