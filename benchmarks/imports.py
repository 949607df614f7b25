"""How long an import of many owners takes, and how long somebody waits who saves meanwhile.

Run by hand, since it writes 400,000 rows: python benchmarks/imports.py [LINES]
On SQLite in a new folder, or with DATABASE_URL on an empty PostgreSQL.
"""

import csv
import os
import resource
import sys
import tempfile
import threading
import time
from pathlib import Path

LINES = 100_000


def written(path: Path, lines: int) -> Path:
    with path.open("w", newline="") as file:
        sheet = csv.writer(file)
        sheet.writerow(["owner", "email", "address", "phone", "watch", "movement_serial", "story"])
        for n in range(lines):
            person = [f"Owner {n}", f"o{n}@example.org", f"{n} Mill Lane\nLower Town", f"+41 {n}"]
            sheet.writerow([*person, "silver hunter", str(n), "it lay in a drawer " * 3])
    return path


def opened(folder: Path) -> None:
    os.environ["SIDESHAKE_DATA"] = str(folder / "data")
    os.environ["DJANGO_SETTINGS_MODULE"] = "sideshake.web.settings"
    import django

    django.setup()
    from sideshake.web import start

    start.ready_records()


def saving(end: threading.Event, waits: list[float], refused: list[str]) -> None:
    """Save an owner four times a second, and note how long each saving took or why it did not."""
    from django.db import DatabaseError, connection

    from sideshake.core.errors import SideshakeError
    from sideshake.web.base.saving import save
    from sideshake.web.models import Owner

    mine = Owner(name="somebody else")
    while not end.wait(0.25):
        mine.note = str(len(waits))
        begun = time.monotonic()
        try:
            save(mine, None)
        except (DatabaseError, SideshakeError) as why:
            refused.append(str(why))
        waits.append(time.monotonic() - begun)
    connection.close()


def main(folder: Path, lines: int) -> None:
    opened(folder)
    from django.db import connection

    from sideshake.web.storage.taking_in import import_owners

    path = written(folder / "many.csv", lines)
    end, waits, refused = threading.Event(), [0.0], []
    other = threading.Thread(target=saving, args=(end, waits, refused))
    other.start()
    begun, busy = time.monotonic(), time.process_time()
    try:
        import_owners(path, by=None, dry_run=False)
    finally:
        took, busy = time.monotonic() - begun, time.process_time() - busy
        end.set()
        other.join()
    waits.sort()
    held_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"{connection.vendor}: {lines} lines in {took:.1f} s ({busy:.1f} s of one core)")
    print(f"{len(waits)} saves meanwhile, {len(refused)} refused:", end=" ")
    print(f"half within {waits[len(waits) // 2]:.2f} s,", end=" ")
    print(f"the longest {waits[-1]:.2f} s; {held_mb:.0f} MB")
    for why in sorted(set(refused)):
        print(f"refused: {why}")


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as place:
        main(Path(place), int(sys.argv[1]) if len(sys.argv) > 1 else LINES)
