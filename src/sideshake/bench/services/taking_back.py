"""Taking back what was removed: it is again as it was; and throwing away for good what is old."""

import json
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

from django.apps import apps
from django.conf import settings
from django.core.cache import cache
from django.db import IntegrityError, models, transaction
from django.db.models import QuerySet
from django.utils.translation import gettext as _

from sideshake.bench.keep.rows import Table, columns
from sideshake.bench.models import (
    KEPT,
    Batch,
    Change,
    Photograph,
    Programme,
    Removed,
    User,
    Visit,
    Workshop,
)
from sideshake.bench.models.people import WORKSHOP
from sideshake.bench.services.drawer import gone_from
from sideshake.bench.services.holding import held as held_rows
from sideshake.bench.services.holding import hold_workshop
from sideshake.bench.services.logo import place_of as logo_place
from sideshake.bench.services.photographs import FOLDER, remove_files
from sideshake.bench.services.proposing import follow_options, held_draft, usual_deposit
from sideshake.bench.services.putting_aside import Held, held_files
from sideshake.bench.services.saving import index_visit
from sideshake.clocks import clock_of, keep_clock, kept_clocks
from sideshake.errors import InputError
from sideshake.photo.store import LeftOver

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
    found = held_rows(Removed.objects.filter(pk=removed.pk)).first()
    if found is None:
        raise InputError(_("it is taken back already, or was thrown away for good"))
    held: Held = json.loads(found.held)
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
    tell_taken_back(found, held, by)


def write_back(held: Held) -> None:
    """Write rows, links, pieces and the clock of a removal again."""
    keys: Keys = {}
    for each in held.get("rows", ()):
        write_row(table_named(each["table"]), each["row"], keys)
    for each in held.get("links", ()):
        table = table_named(each["table"])
        field: Any = table._meta.get_field(each["field"].removesuffix("_id"))
        value = field.to_python(each["value"])
        if isinstance(field, models.ForeignKey):
            value = keys.get((named(field.related_model), value), value)
        table._base_manager.filter(pk=each["row"]).update(**{each["field"]: value})
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
    InputError : what it belongs to is not there
    """
    fields = {field.attname: field for field in columns(table)}
    made = table(**{name: fields[name].to_python(value) for name, value in values.items()})
    for name, field in fields.items():
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
    rows = Removed.objects.filter(kind=table._meta.model_name).values_list("held", flat=True)
    return any(
        (each["table"], each["row"]["id"]) == (table._meta.model_name, pk)
        for text in rows
        for each in json.loads(text).get("rows", ())
    )


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


def table_named(name: str) -> Table:
    """Return a table of the workshop by the name of its model."""
    return apps.get_model("bench", name)


def tell_taken_back(removed: Removed, held: Held, by: User) -> None:
    """Add to the history that it is there again, and make its words findable."""
    for name in ("rows", "pieces", "links"):
        for each in held.get(name, ())[:1]:
            key = each["row"]["id"] if name == "rows" else each["row"]
            told = (_("taken back: %(what)s") % {"what": removed.what})[:200]
            Change.objects.create(
                by=by, visit=removed.visit, kind=each["table"], row=key, what=told
            )
            break
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
    """Refuse to put a line back into a book of daily rates that went on meanwhile."""
    if not Programme.objects.filter(pk=held["links"][0]["row"], version=held["version"]).exists():
        raise InputError(_("the book went on meanwhile; write the comparison into it anew"))


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
    hold_workshop()  # so that nobody stores the same picture anew meanwhile
    rows = list(old_ones(now))
    before = set(held_files("photograph", "stored")), set(held_files("workshop", "logo"))
    Removed.objects.filter(pk__in=[each.pk for each in rows]).delete()
    shots = before[0] - set(held_files("photograph", "stored"))
    shots -= set(Photograph.objects.filter(stored__in=shots).values_list("stored", flat=True))
    logos = before[1] - set(held_files("workshop", "logo"))
    logos -= set(Workshop.objects.values_list("logo", flat=True))
    originals = [Path(settings.FILES) / FOLDER / Path(name).name for name in shots]
    pictures = [logo_place(name) for name in logos]
    paths = [path for path in (*originals, *pictures) if path.exists()]
    size_bytes = sum(path.stat().st_size for path in paths)

    def unlink() -> None:
        for path in originals:
            remove_files(path)
        for path in pictures:
            path.unlink(missing_ok=True)

    transaction.on_commit(unlink)
    return LeftOver(count=len(rows), size_bytes=size_bytes)
