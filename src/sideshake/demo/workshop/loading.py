"""A season written into an empty workshop, all of it or nothing."""

from random import Random

from django.db import transaction

from sideshake.core.errors import InputError
from sideshake.demo import visit as told
from sideshake.demo.shapes import Season
from sideshake.demo.workshop.agreed import write_money, write_parts, write_plan, write_proposals
from sideshake.demo.workshop.history import write_history
from sideshake.demo.workshop.making import Files
from sideshake.demo.workshop.rows import copied
from sideshake.demo.workshop.seen import (
    write_findings,
    write_look_over,
    write_photographs,
    write_readings,
)
from sideshake.demo.workshop.standing import StandingRows, write_standing
from sideshake.web.base.saving import index_visit
from sideshake.web.models import Item, JewelOrder, Owner, User, Visit, Watch

RECEIVERS = ("edda", "edda", "tobias", "miro")
"""Who takes in parcels; most of them the owner of the workshop."""


@transaction.atomic
def load(season: Season, files: Files) -> None:
    """Write a season and the files made for it into the workshop.

    Raises
    ------
    InputError : the workshop is not empty; nothing is written
    """
    require_empty()
    standing = write_standing(season)
    orders = JewelOrder.objects.bulk_create(
        copied(JewelOrder, each) for each in season.jewel_orders
    )
    by_number = {each.number: each for each in orders}
    for each in season.visits:
        visit = write_visit(each, standing)
        write_evidence(visit, each, standing, files)
        write_parts(visit, each, standing, by_number)
        write_history(visit, each, standing.people)
        index_visit(visit)


def require_empty() -> None:
    """Refuse when there is anything in the workshop that could be somebody's.

    Raises
    ------
    InputError : there is
    """
    for table in (Visit, Watch, Owner, Item):
        count = table._default_manager.count()
        if count:
            raise InputError(
                f"this workshop holds records already ({count} {table._meta.verbose_name_plural}); "
                "a demo season goes into an empty one only"
            )


def write_visit(each: told.Visit, standing: StandingRows) -> Visit:
    """Return the visit's own row."""
    row = copied(
        Visit,
        each,
        watch=standing.watches[each.watch],
        received_by=receiver(each, standing.people),
    )
    row.save()
    return row


def receiver(each: told.Visit, people: dict[str, User]) -> User:
    """Return who took the watch in, the same for the same visit."""
    return people[Random(each.key).choice(RECEIVERS)]


def write_evidence(visit: Visit, each: told.Visit, standing: StandingRows, files: Files) -> None:
    """Write what was seen and heard, proposed, done and paid."""
    photographs = write_photographs(visit, each, files)
    write_look_over(visit, each, standing.people["edda"])
    write_findings(visit, each, photographs)
    write_readings(visit, each, files)
    write_proposals(visit, each, standing, photographs)
    write_plan(visit, each, standing.people)
    write_money(visit, each, standing)
