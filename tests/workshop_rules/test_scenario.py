"""One watch from the measured barrel to the sum to pay, through the public names only."""

from datetime import date
from decimal import Decimal

from sideshake.command.measured import measurements_at
from sideshake.core.quantities import Measured
from sideshake.movement.sheet_file import shipped_sheet
from sideshake.wear.measurements import bench
from sideshake.wear.verdict import verdict
from sideshake.workshop_rules.acceptance import AcceptanceOutcome, checks_before_home, judged
from sideshake.workshop_rules.due import warranty_end
from sideshake.workshop_rules.findings import SeenFinding
from sideshake.workshop_rules.look_over import questions
from sideshake.workshop_rules.money import Amount, money_text
from sideshake.workshop_rules.numbers import next_number
from sideshake.workshop_rules.options import price, priced_line
from sideshake.workshop_rules.plan import bench_steps
from sideshake.workshop_rules.suggest import suggestions
from sideshake.workshop_rules.totals import balance, deposit, totals


def test_a_leaning_barrel_goes_from_the_look_over_to_the_invoice():
    sheet = shipped_sheet("tarnbrook-31")
    barrel, oil = (
        next(each for each in questions(sheet) if each.key == key) for key in ("barrel-rim", "oil")
    )
    seen = (barrel.answer("x").finding, oil.answer("w").finding)
    findings = tuple(SeenFinding(key=key) for key in seen)
    case = bench(sheet, measurements_at("leaning-barrel", {})).case
    offered = suggestions(verdict(case), findings, sheet)
    agreed = [each for each in offered if each.instead_of is None]
    assert [each.key for each in agreed] == ["jewel-above", "overhaul"]

    hour = Amount(Decimal("90"), "EUR")
    middles = [price(each.time, hour=hour).middle for each in agreed]
    lines = [
        priced_line(each, sum_, tax_percent=20) for each, sum_ in zip(agreed, middles, strict=True)
    ]
    made = totals(tuple(lines), currency="EUR")
    # By hand: 90 min and (387 + 855) / 2 = 621 min are 711 min, 11.85 h at 90.00.
    assert made.net.value == Decimal("1066.50")
    assert made.gross.value == Decimal("1279.80")
    first = deposit(made.gross, percent=30)
    assert money_text(balance(made.gross, (first,)), "en_GB") == "€895.86"

    steps = [each.key for each in bench_steps(sheet, tuple(agreed))]
    assert steps.index("let-down") < steps.index("option-jewel-above") < steps.index("base-timing")
    hanging = next(
        each for each in checks_before_home(sheet) if each.key == "amplitude-hanging-24h"
    )
    assert judged(hanging, Measured(212, 4)).outcome is AcceptanceOutcome.PASSES
    assert next_number("2026-017", 2026) == "2026-018"
    assert warranty_end(date(2026, 11, 25)) == date(2027, 11, 25)
