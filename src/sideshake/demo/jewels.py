"""Jewels that have to be made: what visits wish for, and the orders that gathered the wishes."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from sideshake.demo.shapes import JewelOrder
from sideshake.demo.shelf import rows
from sideshake.demo.visit import Outwork, Visit

WEEKS_TO_MAKE = 3


def the_orders(today: date) -> tuple[JewelOrder, ...]:
    """Return the orders; those without a day of receipt are still out."""
    return tuple(order(row, today) for row in rows("jewels", "orders"))


def order(row: dict[str, Any], today: date) -> JewelOrder:
    """Return one order, its days counted back from today."""
    received, ordered_on = row.get("received_ago"), today - timedelta(days=row["ordered_ago"])
    return JewelOrder(
        number=row["number"],
        to=row["to"],
        ordered_on=ordered_on,
        wanted_on=ordered_on + timedelta(weeks=WEEKS_TO_MAKE),
        received_on=None if received is None else today - timedelta(days=received),
        note=row["note"],
    )


def with_wishes(visits: Sequence[Visit], orders: Sequence[JewelOrder]) -> list[Visit]:
    """Return the visits with the jewels they wish for among what goes out to others."""
    by_number = {each.number: each for each in orders}
    wishes = [
        (row["visit"], wish(row, by_number.get(row.get("order", ""))))
        for row in rows("jewels", "wishes")
    ]
    return [
        replace(each, outwork=(*each.outwork, *(w for key, w in wishes if key == each.key)))
        for each in visits
    ]


def wish(row: dict[str, Any], order: JewelOrder | None) -> Outwork:
    """Return one wish, out since its order was sent."""
    told = {key: value for key, value in row.items() if key not in ("visit", "order", "cost")}
    made = Outwork(to="", jewel=True, **told)
    if order is None:
        return made
    return replace(
        made,
        to=order.to,
        order=order.number,
        cost=Decimal(row["cost"]),
        sent_on=order.ordered_on,
        due_on=order.ordered_on + timedelta(weeks=WEEKS_TO_MAKE),
        back_on=order.received_on,
    )
