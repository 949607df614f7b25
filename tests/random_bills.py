"""Random invoices, and their sums reckoned apart from the program: whole minor units and fractions.

Nothing of `sideshake.workshop_rules` is used here. The rules are those that
`docs/workshop-rules.md` tells: a line is rounded half up; tax once for the sum of a rate; prices
that contain the tax give the rounded net sum and the rest as tax; a deposit taken off is reckoned
as its own invoice was.
"""

from collections import defaultdict
from dataclasses import dataclass
from fractions import Fraction
from random import Random

PLACES = {"EUR": 2, "CHF": 2, "GBP": 2, "JPY": 0, "KWD": 3}
RATES = ("19", "7", "20", "5.5", "8.1", "2.6", "25", "0")
REASONS = ("small-business", "second-hand", "works-of-art", "collectors-items", "export",
           "reverse-charge", "other")  # fmt: skip


@dataclass(frozen=True)
class Bill:
    """A made-up invoice: rows as they are stored, and how it stands."""

    currency: str
    holds_tax: bool
    kind: str
    rows: tuple[dict[str, str], ...]
    paid: tuple[str, ...]
    cancelled: bool


@dataclass(frozen=True)
class Sums:
    """Net and tax by rate and reason, in minor units."""

    by_rate: dict[tuple[str, str], tuple[int, int]]

    @property
    def net(self) -> int:
        return sum(net for net, _ in self.by_rate.values())

    @property
    def tax(self) -> int:
        return sum(tax for _, tax in self.by_rate.values())

    @property
    def gross(self) -> int:
        return self.net + self.tax


def bill(seed: int) -> Bill:
    """Return the invoice of a seed."""
    dice = Random(seed)
    currency = dice.choice(list(PLACES))
    rates = dice.sample(RATES, k=dice.randint(1, 3))
    rows = [row(dice, dice.choice(rates), PLACES[currency]) for _ in range(dice.randint(1, 7))]
    kind = dice.choice(("work", "work", "work", "deposit"))
    if dice.random() < 0.4:  # a discount
        rows.append(row(dice, dice.choice(rates), PLACES[currency], below_zero=True))
    if kind == "work" and dice.random() < 0.4:  # deposits asked for before
        taken = row(dice, dice.choice(rates), PLACES[currency], below_zero=True)
        rows.append({**taken, "kind": "deposit", "quantity": "1"})
    paid = tuple(price(dice, PLACES[currency], most=200) for _ in range(dice.choice((0, 0, 1, 2))))
    cancelled = dice.random() < 0.2
    return Bill(currency, dice.random() < 0.6, kind, tuple(rows), paid, cancelled)


def row(dice: Random, rate: str, places: int, *, below_zero: bool = False) -> dict[str, str]:
    """Return a price line as it is stored."""
    each = price(dice, places, most=40 if below_zero else 900)
    made = {
        "kind": dice.choice(("work", "part", "outwork")),
        "text": dice.choice(("Overhaul", "Jewel <0.92> & setting", "Crown “old”", "Zeiger")),
        "quantity": dice.choice(("1", "1", "2", "3", "0.5", "2.25", "7", "0.333")),
        "each": f"-{each}" if below_zero else each,
        "tax_percent": rate,
    }
    return {**made, "no_tax": dice.choice(REASONS)} if rate == "0" else made


def price(dice: Random, places: int, *, most: int) -> str:
    """Return an amount as text with all its decimals."""
    units = dice.randint(1, most * 10**places)
    whole, part = divmod(units, 10**places)
    return f"{whole}.{part:0{places}d}" if places else str(whole)


def half_up(value: Fraction) -> int:
    """Return the nearest whole number; the half goes away from zero."""
    nearest = int(abs(value) + Fraction(1, 2))
    return nearest if value >= 0 else -nearest


def units(text: str, currency: str) -> int:
    """Return an amount in minor units."""
    return half_up(Fraction(text) * 10 ** PLACES[currency])


def expected(made: Bill) -> Sums:
    """Return the sums of an invoice, reckoned apart from the program."""
    together: dict[tuple[str, str], int] = defaultdict(int)
    alone: list[tuple[tuple[str, str], int]] = []
    for each in made.rows:
        key = (each["tax_percent"], each.get("no_tax", ""))
        total = half_up(Fraction(each["quantity"]) * units(each["each"], made.currency))
        if each["kind"] == "deposit":
            alone.append((key, total))
            together[key] += 0
        else:
            together[key] += total
    found = {key: parted(total, key[0], made) for key, total in together.items()}
    for key, total in alone:
        net, tax = parted(total, key[0], made)
        found[key] = (found[key][0] + net, found[key][1] + tax)
    sign = -1 if made.cancelled else 1
    return Sums({key: (sign * net, sign * tax) for key, (net, tax) in found.items()})


def parted(total: int, rate: str, made: Bill) -> tuple[int, int]:
    """Return net and tax of a sum of prices."""
    if made.holds_tax:
        net = half_up(total / (1 + Fraction(rate) / 100))
        return net, total - net
    return total, half_up(total * Fraction(rate) / 100)
