"""The one way a record is written: with its version checked, its change told, its text findable."""

import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime, time
from decimal import Decimal
from threading import Event
from typing import Any

from django.db import close_old_connections, models, transaction
from django.db.models import QuerySet

from sideshake.core.errors import SideshakeError
from sideshake.web.base.characters import require_letters
from sideshake.web.base.holding import held, hold_visits
from sideshake.web.base.putting_aside import Held, put_aside, whole
from sideshake.web.models import Change, Record, Removed, User, Visit, VisitText, Watch


class EditConflict(SideshakeError):  # noqa: N818 - said of the one who came second
    """Somebody else saved the record after it was read; nothing was written."""

    def __init__(self, stored: Record, change: Change | None) -> None:
        """Keep what is stored now and who changed it."""
        self.stored = stored
        self.change = change
        who = change.by if change and change.by else "somebody"
        super().__init__(f"{who} has changed this meanwhile; nothing was overwritten")


@transaction.atomic
def save(record: Record, by: User | None, *, seen: int | None = None, what: str = "") -> None:
    """Write a record, and who changed what in it.

    Parameters
    ----------
    seen : the version the person saw, 0 when they do not say; the one the record was read with
        when left out
    what : the change in a few words; made from the field names when left out

    Raises
    ------
    Overtaken : the stored version is another one; nothing is written
    InputError : a text holds a control character, or a line break where there is one line
    """
    hold_visit_of(record)
    stored = current_row(record, seen)
    fields = differences(stored, record)
    if stored is not None and not fields:
        return
    require_texts(record, fields)
    require_parts(record, fields)
    record.version = 1 if stored is None else stored.version + 1
    record.save()
    tell(record, by, what or change_words(record, stored, fields), fields)
    index_around(record)


@transaction.atomic
def remove(
    record: Record,
    by: User | None,
    *,
    seen: int | None = None,
    what: str = "",
    links: Sequence[Held] = (),
) -> Removed | None:
    """Put a record aside and return what holds it; None when it is removed already.

    `links` are fields of others that were emptied with it, to be set again if it is taken back.

    Raises
    ------
    Overtaken : the stored version is another one; nothing is deleted
    """
    hold_visit_of(record)
    stored = current_row(record, seen)
    if stored is None:
        return None
    aside = put_aside(stored, by, whole(stored, links=links), what=f"{kind_of(stored)}: {stored}")
    drop(stored, by, what)
    return aside


@transaction.atomic
def remove_for_good(
    record: Record, by: User | None, *, seen: int | None = None, what: str = ""
) -> None:
    """Remove a record, so that nothing is left to take back; one that is gone already stays so.

    Raises
    ------
    Overtaken : the stored version is another one; nothing is deleted
    """
    hold_visit_of(record)
    stored = current_row(record, seen)
    if stored is not None:
        drop(stored, by, what)


def drop(stored: Record, by: User | None, what: str) -> None:
    """Delete a row that is held; the history tells what it held."""
    fields = {name: [value, None] for name, value in told_values(stored).items() if value}
    visit = stored.visit_of
    tell(stored, by, what or f"removed {kind_of(stored)}: {stored}", fields)
    stored.delete()
    if visit is not None:
        index_visit(visit)


def current_row(record: Record, seen: int | None) -> Record | None:
    """Return the stored row, if it still is the version that was read and seen.

    Raises
    ------
    Overtaken : it is another version
    """
    stored = stored_row(record)
    wanted = record.version if seen is None else seen
    if stored is not None and {stored.version} != {record.version, wanted}:
        raise EditConflict(stored, last_change(stored))
    return stored


def require_texts(record: models.Model, changed: Iterable[str]) -> None:
    """Refuse texts with letters that no text may hold; a CharField is one line.

    Raises
    ------
    InputError : a changed text holds one
    """
    for field in record._meta.concrete_fields:
        text = getattr(record, field.attname)
        if field.attname in changed and isinstance(text, str):
            lines = isinstance(field, models.TextField)
            require_letters(text, str(field.verbose_name), lines=lines)


def require_parts(record: Record, changed: Iterable[str]) -> None:
    """Refuse the parts of a field told in parts with letters that no text may hold.

    The field itself may write such a letter with others, as TOML does.

    Raises
    ------
    InputError : a changed part holds one
    """
    for name, text in record.told_apart.items():
        if name in changed:
            require_letters(text, name)


def hold_visit_of(record: Record) -> None:
    """Hold the visit that a record belongs to, before the record."""
    visit = record.visit_of
    if visit is not None and visit.pk is not None:
        hold_visits([visit.pk])


def stored_row(record: Record) -> Record | None:
    """Return the record as it is stored, locked until the transaction ends."""
    if record.pk is None:
        return None
    found: Record | None = held(type(record)._default_manager.filter(pk=record.pk)).first()
    return found


def differences(stored: Record | None, record: Record) -> dict[str, list[Any]]:
    """Return what changed: field name -> [before, after], as JSON can hold it."""
    after = told_values(record)
    if stored is None:
        return {name: [None, value] for name, value in after.items() if value not in (None, "")}
    before = told_values(stored)
    names = [*after, *(name for name in before if name not in after)]
    pairs = {name: [before.get(name), after.get(name)] for name in names}
    return {name: pair for name, pair in pairs.items() if pair[0] != pair[1]}


def told_values(record: Record) -> dict[str, Any]:
    """Return the values of a record that the history tells."""
    values = {
        field.attname: plain(getattr(record, field.attname))
        for field in record._meta.concrete_fields
        if field.name not in ("id", "version", *record.UNTOLD)
    }
    return values | record.told_apart


def plain(value: Any) -> Any:
    """Return a value as JSON can hold it."""
    if isinstance(value, Decimal):
        return f"{value.normalize():f}" if value else "0"
    if isinstance(value, date | datetime | time):
        return value.isoformat()
    return value


def change_words(record: Record, stored: Record | None, fields: dict[str, list[Any]]) -> str:
    """Return a change in a few words."""
    if stored is None:
        return f"added {kind_of(record)}: {record}"[:200]
    names = ", ".join(str(label(record, name)) for name in fields)
    return f"{kind_of(record)} {record}: {names}"[:200]


def label(record: Record, attname: str) -> str:
    """Return the name people know a field by."""
    for field in record._meta.concrete_fields:
        if field.attname == attname:
            return str(field.verbose_name)
    return attname


def kind_of(record: models.Model) -> str:
    """Return what kind of record it is, in a word or two."""
    return str(record._meta.verbose_name)


def tell(record: Record, by: User | None, what: str, fields: dict[str, list[Any]]) -> None:
    """Add a line to the history."""
    Change.objects.create(
        by=by,
        visit=record.visit_of,
        kind=record._meta.model_name or "",
        row=record.pk,
        what=what[:200],
        fields=fields,
    )


def last_change(record: Record) -> Change | None:
    """Return the newest line of the history about a record."""
    return (
        Change.objects.filter(kind=record._meta.model_name, row=record.pk)
        .select_related("by")
        .first()
    )


def index_around(record: Record) -> None:
    """Make the words of a changed record findable."""
    if record.visit_of is not None:
        index_visit(record.visit_of)
    elif isinstance(record, Watch):
        for visit in record.visits.order_by("pk"):
            index_visit(visit)
    elif record._meta.model_name == "owner":
        for visit in Visit.objects.filter(watch__owner=record.pk).order_by("pk"):
            index_visit(visit)


SEARCHED = (
    "photographs", "look_over", "findings", "measurements", "readings", "rounds", "plan",
    "outwork", "used",
)  # fmt: skip
SEARCHED_PRICES = ("proposals", "payments", "invoices")


def index_visit(visit: Visit) -> None:
    """Write down everything said about a visit, folded, so that a search finds it.

    Of an owner who was erased nothing is found, not even what is kept.
    """
    if visit.watch.owner.erased_on:
        VisitText.objects.filter(visit_id=visit.pk).update(folded="", unpriced="")
        return
    plain, priced = list(words_about(visit)), list(words_on_prices(visit))
    texts = {"folded": folded("\n".join(plain + priced)), "unpriced": folded("\n".join(plain))}
    VisitText.objects.update_or_create(visit_id=visit.pk, defaults=texts)


def text_for(user: User) -> str:
    """Return which of the kept texts somebody may search."""
    return "folded" if user.may_price else "unpriced"


def holding(rows: "QuerySet[Visit]", asked: str, user: User) -> "QuerySet[Visit]":
    """Return the visits about which every word was said, as far as it is somebody's business."""
    for word in folded(asked).split():
        rows = rows.filter(**{f"text__{text_for(user)}__contains": word})
    return rows


def index_left(closing: Event) -> None:
    """Write down what an older Sideshake has not: the texts that apprentices may search."""
    try:
        for visit in Visit.objects.filter(text__unpriced=None).iterator():
            if closing.is_set():
                return
            index_visit(visit)
    finally:
        close_old_connections()


def words_about(visit: Visit) -> Iterator[str]:
    """Yield every text that belongs to a visit, but what is said of prices."""
    yield from words_in(visit)
    yield from words_in(visit.watch)
    yield from words_in(visit.watch.owner)
    for name in SEARCHED:
        for row in getattr(visit, name).all():
            yield from words_in(row)
    for used in visit.used.select_related("batch__item"):
        yield from words_in(used.batch)
        yield from words_in(used.batch.item)


def words_on_prices(visit: Visit) -> Iterator[str]:
    """Yield every text that belongs to what was proposed, invoiced and paid."""
    for name in SEARCHED_PRICES:
        for row in getattr(visit, name).all():
            yield from words_in(row)
    for proposal in visit.proposals.all():
        for option in proposal.options.all():
            yield from words_in(option)


def words_in(row: models.Model) -> Iterator[str]:
    """Yield the texts of one row."""
    for field in row._meta.concrete_fields:
        if isinstance(field, models.CharField | models.TextField) and field.name not in (
            "sha256",
            "stored",
        ):
            text = getattr(row, field.attname)
            if text:
                yield str(text)
        if isinstance(field, models.JSONField) and field.name in ("marks", "lines"):
            for part in getattr(row, field.attname):
                yield str(part.get("text", ""))


def folded(text: str) -> str:
    """Return text as it is searched: no accents, no capitals, single spaces.

    >>> folded("Zifferblatt  Grün")
    'zifferblatt grun'
    """
    bare = "".join(
        letter
        for letter in unicodedata.normalize("NFKD", text)
        if not unicodedata.combining(letter)
    )
    return " ".join(bare.casefold().split())
