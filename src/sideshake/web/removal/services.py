"""Taking back what was removed: it is again as it was; and throwing away for good what is old."""

from collections.abc import Callable
from datetime import datetime
from typing import Any

from django.core.cache import cache
from django.db import IntegrityError, models, transaction
from django.db.models import F, QuerySet
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.sample_clock.kept import clock_of, keep_clock, kept_clocks
from sideshake.storage.files import LeftOver
from sideshake.web.base.holding import held as held_rows
from sideshake.web.base.holding import hold_visits, hold_workshop
from sideshake.web.base.putting_aside import Held, touched
from sideshake.web.base.rows import Table, columns, row_from, table_named
from sideshake.web.base.saving import index_visit
from sideshake.web.drawer.services import gone_from
from sideshake.web.models import KEPT, Batch, Change, Record, Removed, User, Visit, Workshop
from sideshake.web.proposals.services import follow_options, held_draft, usual_deposit
from sideshake.web.storage.leaving import let_go
from sideshake.web.storage.stored_files import files_put_aside, needed, stored_file
from sideshake.web.workshop.models import WORKSHOP

PRICED = frozenset({"option", "payment"})
"""Kinds that are prices and nothing else: not an apprentice's business."""
RUNNING = frozenset({"logo"})
"""Kinds that only the owner of the workshop removes and takes back."""


def waiting_for(user: User) -> "QuerySet[Removed]":
    """Return what was removed and can be taken back, as far as it is somebody's business."""
    rows = Removed.objects.select_related("by", "visit__watch")
    if not user.may_price:
        rows = rows.exclude(kind__in=PRICED)
    return rows if user.may_run else rows.exclude(kind__in=RUNNING)


@transaction.atomic
def take_back(removed: Removed, by: User) -> None:
    """Put what was removed back as it was.

    Raises
    ------
    InputError : what it belongs to is gone or has changed, or the same was written anew meanwhile
    """
    hold_workshop()
    hold_visits([removed.visit_id] if removed.visit_id else [])
    found = held_rows(Removed.objects.filter(pk=removed.pk)).first()
    if found is None:
        raise InputError(_("it is taken back already, or was thrown away for good"))
    held = found.things
    rule = RULES.get(found.kind)
    then = rule(held, by) if rule else None
    try:
        with transaction.atomic():
            write_back(held)
    except IntegrityError:
        raise InputError(
            _("“%(what)s” was written anew meanwhile; remove that one first") % {"what": found}
        ) from None
    if then:
        then()
    found.delete()
    tell_taken_back(found, by)


def write_back(held: Held) -> None:
    """Write rows, links, pieces and the clock of a removal again."""
    keys: Keys = {}
    for each in held.get("rows", ()):
        write_row(table_named(each["table"]), each["row"], keys)
    for each in held.get("links", ()):
        write_link(each, keys)
    for each in held.get("pieces", ()):
        write_piece(each)
    if "clock" in held:
        write_clock(**held["clock"])


Keys = dict[tuple[str, Any], Any]
"""Keys that had to change: in a workshop brought back from a backup another row may have one."""


def write_row(table: Table, values: dict[str, Any], keys: Keys) -> None:
    """Write one row as it was, its key, version and times too.

    Raises
    ------
    InputError : what it belongs to is not there, or another Sideshake put it aside
    """
    made = row_from(table, values)
    for field in columns(table):
        name = field.attname
        if isinstance(field, models.ForeignKey) and getattr(made, name) is not None:
            aim = getattr(made, name)
            setattr(made, name, aimed(field, keys.get((named(field.related_model), aim), aim)))
    before = made.pk
    if table._base_manager.filter(pk=before).exists():
        made.pk = None
    made.save_base(raw=True, force_insert=True)
    keys[named(table), before] = made.pk


def aimed(field: Any, aim: Any) -> Any:
    """Return where a row taken back points; nowhere when that is thrown away and it may.

    Raises
    ------
    InputError : it waits among what was removed, or the row cannot be without it
    """
    if is_there(field, aim):
        return aim
    if not field.null or is_put_aside(field.related_model, aim):
        raise InputError(
            _("what it belongs to (%(what)s) is removed; take that back first")
            % {"what": field.verbose_name}
        )
    return None


def named(table: Any) -> str:
    """Return the name of a table's model."""
    return str(table._meta.model_name)


def is_there(field: Any, aim: Any) -> bool:
    """Return whether the row that a field points at exists."""
    return bool(field.related_model._base_manager.filter(pk=aim).exists())


def is_put_aside(table: Any, pk: Any) -> bool:
    """Return whether a row waits among what was removed."""
    return any(
        thing.whole and (thing.table, thing.row) == (named(table), pk)
        for removed in Removed.objects.only("held")
        for thing in touched(removed)
    )


def write_link(link: Held, keys: Keys) -> None:
    """Set a field again that pointed at what was removed; whoever is editing its row hears of it.

    A row that is gone meanwhile has nothing to set; one that points elsewhere by now stays so.
    """
    table = table_named(link["table"])
    value = link_value(link)
    field = link_field(link)
    rows = table._base_manager.filter(pk=link["row"])
    if isinstance(field, models.ForeignKey):
        value = keys.get((named(field.related_model), value), value)
        rows = rows.filter(**{f"{field.attname}__isnull": True})
    raised = {"version": F("version") + 1} if issubclass(table, Record) else {}
    rows.update(**{link["field"]: value}, **raised)


def link_field(link: Held) -> Any:
    """Return the field that a link sets."""
    return table_named(link["table"])._meta.get_field(link["field"].removesuffix("_id"))


def link_value(link: Held) -> Any:
    """Return what a link sets, as a row has it."""
    return link_field(link).to_python(link["value"])


def write_piece(piece: Held) -> None:
    """Put an entry back into its record's list, at its place.

    Raises
    ------
    InputError : the record is gone
    """
    table = table_named(piece["table"])
    record: Any = held_rows(table._base_manager.filter(pk=piece["row"])).first()
    if record is None:
        raise InputError(_("what it belongs to is removed; take that back first"))
    entries = getattr(record, piece["field"])
    entries.insert(piece["place"], piece["value"])
    record.version += 1
    record.save()


def write_clock(name: str, entry: dict[str, Any]) -> None:
    """Keep a forgotten sound clock again.

    Raises
    ------
    InputError : it was checked anew meanwhile
    """
    if name in kept_clocks():
        raise InputError(_("the clock of %(who)s was checked anew meanwhile") % {"who": name})
    keep_clock(clock_of(name, entry))


def tell_taken_back(removed: Removed, by: User) -> None:
    """Add one line to the history that it is there again, and make its words findable."""
    thing = next(touched(removed), None)
    if thing is not None:
        told = (_("taken back: %(what)s") % {"what": removed.what})[:200]
        Change.objects.create(
            by=by, visit=removed.visit, kind=thing.table, row=thing.row, what=told
        )
    if removed.visit_id is not None:
        index_visit(Visit.objects.get(pk=removed.visit_id))


Then = Callable[[], None]


def option_rule(held: Held, by: User) -> Then:
    """Refuse an option of a proposal that was sent; the usual deposit follows afterwards."""
    proposal = held_draft(held["rows"][0]["row"]["proposal_id"])
    usual = usual_deposit(proposal)
    return lambda: follow_options(proposal, usual, by)


def used_rule(held: Held, _by: User) -> None:
    """Refuse to put a piece into a watch again when its batch holds none any more."""
    for each in held["rows"]:
        batch = held_rows(Batch.objects.all()).get(pk=each["row"]["batch_id"])
        if batch.quantity - gone_from(batch) < each["row"]["quantity"]:
            raise InputError(_("the piece went into another watch meanwhile"))


def logo_rule(_held: Held, _by: User) -> Then:
    """Refuse to put an older logo in the place of another."""
    if Workshop.objects.exclude(logo="").exists():
        raise InputError(_("the papers have another logo now; remove that one first"))

    def forget() -> None:
        cache.delete(WORKSHOP)

    return forget


def comparison_rule(held: Held, _by: User) -> None:
    """Refuse to put a line back into a book of daily rates that went on meanwhile.

    What counts is the book as the removal left it: a later line may have been taken out of it, and
    put back, since.
    """
    left = held.get("left", ())
    if not left or not all(map(stands, left)):
        raise InputError(_("the book went on meanwhile; write the comparison into it anew"))


def stands(link: Held) -> bool:
    """Return whether a row still has the value that a link tells."""
    rows = table_named(link["table"])._base_manager.filter(pk=link["row"])
    return link_value(link) in rows.values_list(link["field"], flat=True)


RULES: dict[str, Callable[[Held, User], Then | None]] = {
    "option": option_rule,
    "used": used_rule,
    "logo": logo_rule,
    "comparison": comparison_rule,
}
"""What must hold before a kind is taken back, and what is done after it."""


def old_ones(now: datetime) -> "QuerySet[Removed]":
    """Return what was removed so long ago that it may be thrown away for good."""
    return Removed.objects.filter(at__lt=now - KEPT)


@transaction.atomic
def throw_away(now: datetime) -> LeftOver:
    """Return how much was thrown away for good: what is old, and the files that nobody needs."""
    hold_workshop()
    rows = list(old_ones(now))
    files = set(files_put_aside(rows))
    Removed.objects.filter(pk__in=[each.pk for each in rows]).delete()
    files -= needed(files)
    paths = [path for path in (stored_file(*each) for each in files) if path.exists()]
    size_bytes = sum(path.stat().st_size for path in paths)
    let_go(files)
    return LeftOver(count=len(rows), size_bytes=size_bytes)
