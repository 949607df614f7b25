"""What stands before any visit: the workshop, its people, owners, watches, the drawer."""

from dataclasses import dataclass
from datetime import timedelta

from sideshake.demo import shapes
from sideshake.demo.workshop.rows import copied
from sideshake.web.models import Batch, Item, Owner, User, Watch, Workshop

OWNER_BEFORE_ARRIVAL = timedelta(days=3)
"""An owner writes or calls first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StandingRows:
    """The rows that visits refer to, by their key in the season."""

    workshop: Workshop
    people: dict[str, User]
    watches: dict[str, Watch]
    batches: dict[str, Batch]

    @property
    def writer(self) -> User:
        """Return who writes the proposals: the owner of the workshop."""
        return next(each for each in self.people.values() if each.may_run)


def write_standing(season: shapes.Season) -> StandingRows:
    """Return the rows written."""
    return StandingRows(
        workshop=write_workshop(season.workshop),
        people={each.username: write_person(each) for each in season.workshop.people},
        watches=write_watches(season),
        batches=write_drawer(season.drawer),
    )


def write_workshop(told: shapes.Workshop) -> Workshop:
    """Return the workshop's one row."""
    row = copied(Workshop, told, pk=Workshop.objects.values_list("pk", flat=True).first())
    row.save()
    return row


def write_person(told: shapes.Colleague) -> User:
    """Return somebody who works here, without a password; a name that is taken gets a number."""
    first, _, last = told.name.partition(" ")
    person = User(
        username=free_name(told.username), first_name=first, last_name=last, role=told.role
    )
    person.set_unusable_password()
    person.save()
    return person


def free_name(wanted: str) -> str:
    """Return the user name, or with the first number nobody has taken."""
    taken = set(User.objects.values_list("username", flat=True))
    further = (f"{wanted}-{number}" for number in range(2, len(taken) + 3))
    return next(each for each in (wanted, *further) if each not in taken)


def write_watches(season: shapes.Season) -> dict[str, Watch]:
    """Return the watches by key, written with their owners."""
    owners = Owner.objects.bulk_create(copied(Owner, each) for each in season.owners)
    keys = [each.key for each in season.owners]
    by_key = dict(zip(keys, owners, strict=True))
    date_owners(season, by_key)
    rows = Watch.objects.bulk_create(
        copied(Watch, each, owner=by_key[each.owner]) for each in season.watches
    )
    return dict(zip((each.key for each in season.watches), rows, strict=True))


def date_owners(season: shapes.Season, owners: dict[str, Owner]) -> None:
    """Write since when each is an owner here: shortly before the first visit."""
    for visit in reversed(season.visits):
        owner = owners[season.watch_of(visit).owner]
        owner.since = visit.arrived_on - OWNER_BEFORE_ARRIVAL
    Owner.objects.bulk_update(owners.values(), ["since"])


def write_drawer(items: tuple[shapes.Item, ...]) -> dict[str, Batch]:
    """Return the batches by their label, written with their items."""
    rows = Item.objects.bulk_create(copied(Item, each) for each in items)
    batches = Batch.objects.bulk_create(
        copied(Batch, each, item=row)
        for item, row in zip(items, rows, strict=True)
        for each in item.batches
    )
    return {each.label: each for each in batches}
