"""Print every benchmark figure: `make bench`, or with `--quick` a tenth of the runs.

They are no tests and decide nothing in CI; the targets beside them are the project's own.
"""

import argparse
import os
import platform
import subprocess
import sys
from pathlib import Path

import numpy as np
import scipy
from both_cores import ONE_THREAD
from show import say

HERE = Path(__file__).parent
QUESTIONS = (
    "accuracy", "intervals", "second", "recordings", "bound", "stress", "speed", "peers",
    "workshop", "papers", "live", "spoilt", "torture", "photographs", "holes_second",
    "wheels_seen", "pivots_seen",
)  # fmt: skip


def machine() -> str:
    """Return what the figures were measured on."""
    return (
        f"{platform.machine()}, {os.cpu_count()} cores, Python {platform.python_version()}, "
        f"numpy {np.__version__}, scipy {scipy.__version__}; numerical libraries held to one thread"
    )


def main() -> None:
    """Print all of it, or only the questions named."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("questions", nargs="*", metavar="QUESTION", help=", ".join(QUESTIONS))
    parser.add_argument("--quick", action="store_true", help="fewer runs")
    told = parser.parse_args()
    if unknown := set(told.questions) - set(QUESTIONS):
        parser.error(f"no such question: {', '.join(sorted(unknown))}; there are {QUESTIONS}")
    say(machine())
    options = ["--quick"] if told.quick else []
    for name in told.questions or QUESTIONS:
        command = [sys.executable, str(HERE / f"{name}.py"), *options]
        subprocess.run(command, check=True, env=os.environ | ONE_THREAD)


if __name__ == "__main__":
    main()
