"""How long a visit's papers take: made in a workshop that runs, and by `sideshake paper` alone.

Processor seconds, which a busy machine lengthens too (its caches are shared): the loop that is
timed first tells how fast it was. The visits are those of the demo, made anew unless a folder is
named. A paper that is kept as it was issued is read and not made.
"""

import argparse
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from show import mark, say, show

WARM_S, ALONE_S = 0.2, 1.0
VISITS, QUICK_VISITS = 24, 6
BEST_OF = 3
ADDITIONS = 10_000_000
RUN = [sys.executable, "-c", "from sideshake.command.main import main; main()"]


def loop_s() -> float:
    """Return how long ten million additions take."""
    start, total = time.process_time(), 0
    for each in range(ADDITIONS):
        total += each
    return time.process_time() - start


def warm(wanted) -> float | None:
    """Return the least processor time of a paper that was made before; None if there is none."""
    from sideshake.core.errors import SideshakeError
    from sideshake.web.documents.registry.requests import paper_of

    times = []
    for _ in range(BEST_OF + 1):
        start = time.process_time()
        try:
            paper_of(wanted)
        except SideshakeError:
            return None
        times.append(time.process_time() - start)
    return min(times[1:])


def alone(kind: str, visit: str, folder: Path) -> float:
    """Return the least processor time of the command, from its start to its end."""
    command = [*RUN, "paper", kind, visit, "--to", str(folder / "made"), "--replace"]
    times = []
    for _ in range(BEST_OF):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run(command, check=True, capture_output=True)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        times.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return min(times)


def rows(folder: Path) -> Iterator[tuple[str, ...]]:
    """Yield each kind: over how many visits, median and longest warm, and the longest one alone."""
    from sideshake.documents.kinds import PaperKind
    from sideshake.web.documents.registry.requests import PaperRequest
    from sideshake.web.models import Visit

    numbers = list(Visit.objects.order_by("number").values_list("number", flat=True))
    for kind in PaperKind:
        asked = (
            (PaperRequest(kind=kind, visit=each, address="http://bench/"), each) for each in numbers
        )
        found = sorted((t, visit) for wanted, visit in asked if (t := warm(wanted)) is not None)
        if not found:
            continue
        most, slowest = found[-1]
        whole = alone(kind, slowest, folder)
        good = mark(most < WARM_S and whole < ALONE_S)
        middle = found[len(found) // 2][0]
        yield (kind, str(len(found)), f"{middle:.3f}", f"{most:.3f}", slowest, f"{whole:.2f}", good)


def opened(told: argparse.Namespace, folder: Path) -> None:
    """Make the demo's visits, or use the workshop that is named."""
    place = told.workshop
    if place is None:
        count = QUICK_VISITS if told.quick else VISITS
        making = [*RUN, "demo", str(folder), "--visits", str(count)]
        subprocess.run(making, check=True, capture_output=True)
        place = folder / "workshop"
    os.environ["SIDESHAKE_DATA"] = str(place)
    from sideshake.command.database import use_workshop

    use_workshop()


def main() -> None:
    """Print both times of every kind of paper."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="fewer visits")
    parser.add_argument("--workshop", type=Path, help="a data folder to use")
    told = parser.parse_args()
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    say(f"ten million additions in a loop of Python: {loop_s():.2f} processor seconds")
    with tempfile.TemporaryDirectory() as name:
        opened(told, Path(name))
        show(
            f"Papers: warm under {WARM_S} s, `sideshake paper` under {ALONE_S} s (processor time)",
            ("paper", "visits", "warm, median", "longest", "of visit", "the command", "target"),
            rows(Path(name)),
        )


if __name__ == "__main__":
    main()
