"""The whole season: an invented workshop and two years of its visits, ending today.

Invented, and checked against what we know of real makers: the dial names Arvendahl, Brisenthal,
Corvanne, Halvorsund, Lindquell, Merrowick, Pell & Ashdown, Quenholt, Tarnbrook, Veltrane and
Wendelmoor; the calibres Brisenthal 28, Corvanne 17, Lindquell 25, Quenholt 29, Tarnbrook 31 and
Wendelmoor 43; the workshop Quillfoot & Daughter of Ashlingmoor; the suppliers Atelier Rubellin,
Atelier Sondrin, Federhof Osterling, Prägnitz Feinteile, Spiralwerk Ennetwald-Tal, Werkzeugbau
Harmswede and Zifferblatt-Atelier Grünmoor; and everybody who owns a watch.
"""

from collections import Counter
from dataclasses import replace
from datetime import date
from random import Random

from sideshake.demo.bench_plan import BenchNotes
from sideshake.demo.composed import Composer
from sideshake.demo.jewels import the_orders, with_wishes
from sideshake.demo.script import VisitScript
from sideshake.demo.shapes import Season
from sideshake.demo.shelf import rows, the_drawer, the_owners, the_watches, the_workshop, written
from sideshake.demo.stay import Setting, visit_of
from sideshake.demo.visit import Visit

SEED = 1944


def season(today: date, seed: int = SEED) -> Season:
    """Return the season that ends today: the same day and seed give the same season.

    Examples
    --------
    >>> len(season(date(2026, 11, 25)).visits)
    60
    """
    workshop, owners, watches = the_workshop(), the_owners(), the_watches()
    bare = Season(
        today=today, workshop=workshop, owners=owners, watches=watches, visits=(),
        drawer=the_drawer(today), jewel_orders=the_orders(today),
    )  # fmt: skip
    words = written("jobs")["words"]
    setting = Setting(
        today=today,
        workshop=workshop,
        words=BenchNotes(bench=tuple(words["bench_notes"]), tests=tuple(words["test_notes"])),
    )
    known = {each.key: each for each in watches}
    visits = [
        visit_of(each, known[each.watch], setting, Random(f"{seed} {each.key}"))
        for each in scripts(bare, seed)
    ]
    return replace(bare, visits=numbered(with_wishes(visits, bare.jewel_orders)))


def some_visits(season: Season, count: int) -> Season:
    """Return the season with so many of its visits only, spread over the two years."""
    step = max(1, len(season.visits) // max(1, count))
    return replace(season, visits=season.visits[-1::-step][:count][::-1])


def scripts(season: Season, seed: int) -> list[VisitScript]:
    """Return the scripts of all visits: those told at length, then the composed ones."""
    told = rows("heroes-1", "visits") + rows("heroes-2", "visits")
    composer = Composer(written("jobs"), Random(seed))
    watches = {each.key: each for each in season.watches}
    return [VisitScript.model_validate(row) for row in told] + [
        composer.script(
            row, watch=watches[row["watch"]], owner=season.owner_of(watches[row["watch"]])
        )
        for row in rows("rest", "visits")
    ]


def numbered(visits: list[Visit]) -> tuple[Visit, ...]:
    """Return the visits in the order of arrival, they and their invoices numbered by year."""
    in_order = sorted(visits, key=lambda each: (each.arrived_on, each.key))
    count: Counter[int] = Counter()
    found = []
    for each in in_order:
        count[each.arrived_on.year] += 1
        number = f"{each.arrived_on.year}-{count[each.arrived_on.year]:03d}"
        found.append(replace(each, number=number))
    return with_invoice_numbers(found)


def with_invoice_numbers(visits: list[Visit]) -> tuple[Visit, ...]:
    """Return the visits with their invoices numbered by the day of issue, each year from 1."""
    issued = sorted(
        (invoice.issued_on, each.number) for each in visits for invoice in each.invoices
    )
    count: Counter[int] = Counter()
    numbers: dict[str, str] = {}
    for day, visit in issued:
        count[day.year] += 1
        numbers[visit] = f"INV-{day.year}-{count[day.year]:03d}"
    return tuple(
        replace(
            each, invoices=tuple(replace(i, number=numbers[each.number]) for i in each.invoices)
        )
        for each in visits
    )
