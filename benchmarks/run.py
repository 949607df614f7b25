"""Print every benchmark figure: `make bench`, or with `--quick` a tenth of the runs.

They are no tests and decide nothing in CI; the targets beside them are the project's own.
"""

import argparse
import importlib
import os
import platform

for _name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(_name, "1")

import numpy as np
import scipy
from show import say

QUESTIONS = ("accuracy", "intervals", "bound", "stress", "speed", "peers")


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
    for name in told.questions or QUESTIONS:
        importlib.import_module(name).report(quick=told.quick)


if __name__ == "__main__":
    main()
