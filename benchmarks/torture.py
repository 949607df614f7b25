"""The workshop tortured: killed with -9 at work, and strained; on SQLite and on PostgreSQL.

Counted: what was acknowledged, what of it is lost (must be 0), and what was not told in words (must
be 0). The work, the kills and the strains stand in `tests/tortured.py` and `tests/strained.py`.
"""

import argparse
import os
import subprocess
import sys
import tempfile
from pathlib import Path

from borrowed import TRIALS, Kept, Tally, Tortured, torture, trials_on
from show import mark, say, show

KILLS, QUICK_KILLS = 200, 14
HERE = Path(__file__).resolve()
ON_POSTGRESQL = HERE.parents[1] / ".ci" / "postgresql"


def report(*, quick: bool) -> None:
    """Torture on SQLite, then on a throw-away PostgreSQL if there is one."""
    tortured_on("SQLite", "", kills=QUICK_KILLS if quick else KILLS)
    if not list(Path("/usr/lib/postgresql").glob("*/bin/initdb")):
        say("PostgreSQL is not installed here; nothing was tried on it.")
        return
    command = [str(ON_POSTGRESQL), sys.executable, str(HERE), *(["--quick"] if quick else [])]
    subprocess.run(command, check=True)


def tortured_on(name: str, address: str, *, kills: int) -> None:
    """Print what came of kills and strains on one database."""
    with tempfile.TemporaryDirectory(prefix="sideshake-torture-") as folder:
        tortured = Tortured(Path(folder), address=address)
        try:
            tallies = torture(tortured, kills)
        finally:
            tortured.close()
        untold = {trial: strain(tortured) for trial, strain in trials_on(address).items()}
        lost = [
            *Kept(tortured).lost(),
            *(each for tally in tallies.values() for each in tally.lost),
        ]
        show_kills(name, tallies)
        show(
            f"{name}: strains", ("strain", "not told"),
            [[each, str(len(untold[each])) if each in untold else "not tried on it"]
             for each in TRIALS],
        )  # fmt: skip
        told = [*(each for tally in tallies.values() for each in tally.not_told)]
        told += [each for some in untold.values() for each in some]
        for each in [*lost, *told]:
            say(each)
        say(
            f"{name}: {tortured.ledger.count} things acknowledged, {len(lost)} lost: "
            f"{mark(not lost)}"
        )
        say(f"{name}: {len(told)} not told in words: {mark(not told)}")


def show_kills(name: str, tallies: dict[str, Tally]) -> None:
    """Print what came of the kills of each kind."""
    rows = [
        [
            kind,
            str(tally.kills),
            str(tally.under_way),
            str(len(tally.lost)),
            str(len(tally.not_told)),
        ]
        for kind, tally in tallies.items()
    ]
    columns = ("killed in the middle of", "kills", "met it under way", "lost", "not told")
    show(f"{name}: kill -9", columns, rows)


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help=f"{QUICK_KILLS} kills each")
    quick = parser.parse_args().quick
    if "DATABASE_URL" in os.environ:
        tortured_on("PostgreSQL", os.environ["DATABASE_URL"], kills=QUICK_KILLS if quick else KILLS)
    else:
        report(quick=quick)
