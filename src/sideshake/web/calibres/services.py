"""Calibres made, copied, taken in, changed and removed."""

from dataclasses import dataclass

from django.db import IntegrityError, transaction
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from sideshake.core.errors import InputError
from sideshake.movement.sheet_text import Tree, remarks_of, sheet_text, tree_of
from sideshake.movement.written_lines import Written, in_order, put_line
from sideshake.web.base.saving import remove, save
from sideshake.web.calibres.models import LONGEST_NAME
from sideshake.web.calibres.sheets import example_text, plain_sheet, sheet_names
from sideshake.web.models import Calibre, Removed, User, Visit, Watch

NAMELESS = "calibre"


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """The answers to the five questions about a new calibre; None is not known."""

    beats: Written | None = None
    lift_angle: Written | None = None
    automatic: bool = False
    chronograph: bool = False
    calendar: bool = False


def usual_name(title: str) -> str:
    """Return the name for addresses and watches that a title makes; a number may follow it."""
    return slugify(title, allow_unicode=True)[: LONGEST_NAME - 6]


def free_name(title: str) -> str:
    """Return a name that no calibre has, made from its title."""
    plain = usual_name(title) or NAMELESS
    known = set(sheet_names())
    number, name = 1, plain
    while name in known:
        number += 1
        name = f"{plain}-{number}"
    return name


def blank(title: str, asked: Asked) -> str:
    """Return the sheet of a new calibre with what is known of it.

    Raises
    ------
    InputError : an answer cannot be
    """
    tree: Tree = {"name": title}
    if asked.beats:
        put_line(tree, "beats_per_hour", asked.beats)
    if asked.lift_angle:
        put_line(tree, "lift_angle_deg", asked.lift_angle)
    for work in ("automatic", "chronograph", "calendar"):
        if getattr(asked, work):
            tree[work] = {}
    return plain_sheet(sheet_text(in_order(tree)))


def copy_of(name: str, title: str) -> tuple[str, str]:
    """Return the sheet of a calibre under another title, and its remarks.

    Raises
    ------
    InputError : there is no calibre of that name
    """
    own = Calibre.objects.filter(name=name).first()
    text = own.sheet if own else example_text(name)
    if not text:
        raise InputError(_("there is no calibre %(name)s to be copied") % {"name": name})
    tree = tree_of(plain_sheet(text))
    tree["name"] = title
    tree.pop("invented", None)
    remarks = own.note if own else remarks_of(text)
    return sheet_text(in_order(tree)), remarks


@transaction.atomic
def keep_new(sheet: str, note: str, by: User, *, title: str, what: str = "") -> Calibre:
    """Return a new calibre with this sheet, stored.

    Raises
    ------
    InputError : somebody else makes one of that name at this moment
    """
    made = Calibre(name=free_name(title), sheet=sheet, note=note)
    try:
        with transaction.atomic():
            save(made, by, what=what)
    except IntegrityError:
        raise InputError(
            _("somebody else has just made a calibre of that name; try once more")
        ) from None
    return made


@transaction.atomic
def tie(calibre: Calibre, watch: Watch, by: User, *, seen: int) -> None:
    """Let a watch that names no calibre name this one.

    Raises
    ------
    InputError : it names one already
    Overtaken : somebody else has changed the watch meanwhile
    """
    require_untied(watch)
    watch.calibre = calibre.name
    save(watch, by, seen=seen)


def require_untied(watch: Watch) -> None:
    """Refuse a watch that names a calibre.

    Raises
    ------
    InputError : it does
    """
    if watch.calibre:
        raise InputError(
            _("this watch has the calibre %(name)s already; change it at the watch")
            % {"name": watch.calibre}
        )


@transaction.atomic
def drop_calibre(calibre: Calibre, by: User, *, seen: int | None) -> Removed | None:
    """Remove a calibre that no watch names.

    Raises
    ------
    InputError : a watch names it
    Overtaken : somebody else has changed it meanwhile
    """
    require_no_watch(calibre)
    return remove(calibre, by, seen=seen)


def require_no_watch(calibre: Calibre) -> None:
    """Refuse to remove a calibre that watches name.

    Raises
    ------
    InputError : one does
    """
    count = Watch.objects.filter(calibre=calibre.name).count()
    if count:
        told = ngettext(
            "one watch has this calibre: name another one at the watch first",
            "%(n)d watches have this calibre: name another one at them first",
            count,
        )
        raise InputError(told % {"n": count})


def heard_beats(visit: Visit) -> float | None:
    """Return the beats an hour that the newest reading of a visit has heard, if one has."""
    heard = visit.readings.filter(beats_per_hour__isnull=False).order_by("-pk").first()
    return heard.beats_per_hour if heard else None
