"""Five thousand spoilt inputs over all commands: how each ends; none may be a fault of ours."""

import argparse
import contextlib
import io
import os
import tempfile
from collections import Counter
from functools import partial
from pathlib import Path

from borrowed import spoilt
from both_cores import spread
from show import mark, say, show

INPUTS, QUICK_INPUTS, AT_ONCE = 5000, 500, 50
MEANING = {0: "answered", 1: "a fault of the program", 2: "refused", 3: "no answer in it"}


def ended(seed: int) -> int:
    """Return the code with which the command of a seed ends."""
    from sideshake.command.main import main

    wanted = spoilt(seed)
    for name, data in wanted.files:
        Path(name).write_bytes(data)
    with (
        contextlib.redirect_stdout(io.StringIO()),
        contextlib.redirect_stderr(io.StringIO()),
    ):
        try:
            main(wanted.tokens)
        except SystemExit as end:
            return int(end.code or 0)
    return 0


def endings(first: int, count: int) -> list[int]:
    """Return the codes of some seeds, tried in a folder of their own."""
    with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
        os.environ["XDG_CONFIG_HOME"] = folder
        return [ended(seed) for seed in range(first, first + count)]


def report(*, quick: bool = False) -> None:
    """Print how the commands end."""
    inputs = QUICK_INPUTS if quick else INPUTS
    parts = spread(partial(endings, count=AT_ONCE), range(0, inputs, AT_ONCE))
    codes = [code for part in parts for code in part]
    counts = Counter(codes)
    rows = [[f"{code}: {MEANING.get(code, '?')}", str(counts[code])] for code in sorted(counts)]
    show(f"{inputs} spoilt inputs, how the command ends", ("code", "times"), rows)
    faults = [seed for seed, code in enumerate(codes) if code not in (0, 2, 3)]
    say(f"Faults of the program: {len(faults)} (seeds {faults[:20]}): {mark(not faults)}")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="500 inputs instead of 5000")
    report(quick=parser.parse_args().quick)
