"""Editing a calibre section by section, with what the checks say beside it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.safestring import mark_safe
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from sideshake.core.quantities import Measured
from sideshake.movement.sheet import CalibreSheet
from sideshake.movement.sheet_text import Tree, tree_of
from sideshake.movement.written_lines import line_at
from sideshake.web.base.access import signed_in
from sideshake.web.base.asking import Removal, ask_and_remove
from sideshake.web.base.editing import version_seen
from sideshake.web.base.paging import page_of
from sideshake.web.base.record_form import overtaken_words
from sideshake.web.base.saving import EditConflict, save
from sideshake.web.calibres.answers import Answers, answers_of, taken_under_way
from sideshake.web.calibres.drawn import drawn_inside
from sideshake.web.calibres.repair_statistics import visits_of
from sideshake.web.calibres.services import drop_calibre, require_no_watch
from sideshake.web.calibres.sheet_lines import PARTS, Group, Holds, LineKind, SheetPart, part_named
from sideshake.web.calibres.sheet_typed import (
    HAS,
    USUAL_ARBORS,
    Laid,
    groups_shown,
    laid_over,
    read,
    shown_text,
)
from sideshake.web.models import Calibre, Change
from sideshake.web.visits.history_views import told_to

LAST_VISITS = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class DeskLine:
    """A line as its field shows it."""

    kind: LineKind
    text: str
    source: str
    memory: bool
    wrong: str = ""
    stored: str = ""
    """What is stored now, where somebody else was quicker."""
    read_as: str = ""
    """How a plain number is read, with the doubt of its kind."""

    @property
    def is_long(self) -> bool:
        """Return whether it has several lines of text."""
        return self.kind.holds is Holds.LIST


@dataclass(frozen=True, slots=True, kw_only=True)
class DeskTable:
    """A table, or a row of a list, as the page shows it."""

    group: Group
    lines: tuple[DeskLine, ...]
    there: bool
    place: str = ""
    """Of a row: where it stands in the order."""

    @property
    def usual(self) -> tuple[DeskLine, ...]:
        """Return the lines that stand in the open."""
        return tuple(line for line in self.lines if not line.kind.is_rare)

    @property
    def rare(self) -> tuple[DeskLine, ...]:
        """Return the lines that stand in a fold."""
        return tuple(line for line in self.lines if line.kind.is_rare)

    @property
    def rare_told(self) -> bool:
        """Return whether something stands at a line of the fold, which is open then."""
        return any(line.text or line.wrong or line.stored for line in self.rare)


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What the page says besides the fields."""

    laid: Laid
    sent: Mapping[str, str] | None = None
    other: Tree | None = None
    """What is stored now, when somebody else was quicker."""
    wrong: tuple[str, ...] = ()


def edit_calibre(request: HttpRequest, pk: int, section: str) -> HttpResponse:
    """Show a section of a calibre, or save what was typed; the second of two people is told."""
    record, part = get_object_or_404(Calibre, pk=pk), part_named(section)
    if part is None:
        raise Http404(_("There is no such section of a calibre."))
    if request.method != "POST":
        return page(request, record, part, Said(laid=read(record.sheet)))
    sent = request.POST.dict()
    laid = laid_over(record.sheet, part, sent)
    if laid.sheet is None:
        return page(request, record, part, Said(laid=laid, sent=sent), status=422)
    if "check" in sent:
        return page(request, record, part, Said(laid=laid, sent=sent))
    stored, record.sheet = record.sheet, laid.text
    try:
        save(record, signed_in(request), seen=version_seen(request))
    except EditConflict as overtaken:
        record.sheet = stored
        said = Said(
            laid=laid, sent=sent, other=tree_of(stored), wrong=(overtaken_words(overtaken),)
        )
        return page(request, record, part, said, status=409)
    messages.success(request, _("Saved: %(section)s.") % {"section": part.title})
    return redirect("edit-calibre", pk, section)


def page(
    request: HttpRequest, record: Calibre, part: SheetPart, said: Said, *, status: int = 200
) -> HttpResponse:
    """Show the section: every line, and beside it what the checks say."""
    tables = list(tables_of(part, said))
    known = {line.kind.key for table in tables for line in table.lines}
    over = [words for key, words in said.laid.wrong.items() if key not in known]
    seen = version_seen(request) if said.sent is not None and said.other is None else record.version
    shown: dict[str, Any] = {
        "record": record,
        "title": str(tree_of(record.sheet).get("name", record.name)),
        "part": part,
        "parts": PARTS,
        "tables": tables,
        "wrong": [*said.wrong, *over],
        "any_wrong": bool(said.laid.wrong),
        "answers": answered(said.laid.sheet),
        "taken": under_way(part, said.laid.sheet),
        "seen": seen,
        "unsaved": said.sent is not None,
        "whence": whence(record),
        "drawn": mark_safe(drawn_inside(part.picture, said.laid.sheet)),
    }
    return render(request, "calibres/edit.html", shown, status=status)


def answered(sheet: CalibreSheet | None) -> Answers | None:
    """Return what the checks say; None of a sheet that cannot be read."""
    return answers_of(sheet) if sheet else None


def under_way(part: SheetPart, sheet: CalibreSheet | None) -> tuple[str, ...]:
    """Return what the barrel's lean under way takes at its worst, where the barrel is edited."""
    return taken_under_way(sheet) if sheet and part.slug == "barrel" else ()


def tables_of(part: SheetPart, said: Said) -> Iterator[DeskTable]:
    """Yield the tables of a section, each line as it was typed or as it is stored."""
    tree = said.laid.tree
    for group in groups_shown(part, tree):
        has = f"{group.place}{HAS}" in said.sent if said.sent is not None else False
        row = part.rows and group.place.startswith(f"{part.rows}.")
        yield DeskTable(
            group=group,
            lines=tuple(line_shown(kind, tree, said) for kind in group.lines),
            there=has or (bool(group.place) and line_at(tree, group.place) is not None),
            place=str(int(group.place.rpartition(".")[2]) + 1) if row else "",
        )


def line_shown(kind: LineKind, tree: Tree, said: Said) -> DeskLine:
    """Return a line as its field shows it."""
    written = line_at(tree, kind.key)
    text = shown_text(written, kind)
    theirs = shown_text(line_at(said.other, kind.key), kind) if said.other is not None else text
    return DeskLine(
        kind=kind,
        text=text or usual_text(kind, tree),
        source=written.source if written else "",
        memory=written.from_memory if written else False,
        wrong=capfirst(said.laid.wrong.get(kind.key, "")),
        stored="" if theirs == text else theirs or _("nothing"),
        read_as=read_as(kind, text, said.laid.sheet),
    )


def usual_text(kind: LineKind, tree: Tree) -> str:
    """Return the usual name of an arbor where a train has none yet."""
    table, number, line = (*kind.key.rsplit(".", 2), "", "")[:3]
    if (table, line) != ("train.arbors", "name") or line_at(tree, table) is not None:
        return ""
    return USUAL_ARBORS[int(number)] if int(number) < len(USUAL_ARBORS) else ""


def read_as(kind: LineKind, text: str, sheet: CalibreSheet | None) -> str:
    """Return how a size is read when it was written without its doubt; else nothing."""
    if sheet is None or kind.holds is not Holds.SIZE or not text or "±" in text:
        return ""
    found = sheet.needed(kind.key, "the page")
    return found.text() if isinstance(found, Measured) and found.u else ""


def whence(record: Calibre) -> list[str]:
    """Return what is offered as the source of a line."""
    numbers = visits_of(record.name).values_list("number", flat=True)[:LAST_VISITS]
    measured = [_("measured on visit %(number)s") % {"number": each} for each in numbers]
    return [*measured, _("maker's sheet"), _("measured on a sound movement")]


@require_POST
def remove_calibre(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask once, then put a calibre aside that no watch names."""
    record = get_object_or_404(Calibre, pk=pk)
    require_no_watch(record)
    removal = Removal(
        done=reverse("calibres"), stay=reverse("calibre", args=[record.name]), act=drop_calibre
    )
    return ask_and_remove(request, record, signed_in(request), removal)


def calibre_history(request: HttpRequest, pk: int) -> HttpResponse:
    """Show who changed what in a calibre, the newest first."""
    record, user = get_object_or_404(Calibre, pk=pk), signed_in(request)
    rows = Change.objects.filter(kind="calibre", row=pk).select_related("by")
    found = page_of(request, rows)
    told = [told_to(user, change) for change in found]
    shown = {"record": record, "page": found, "told": told, "kept": ""}
    return render(request, "calibres/history.html", shown)
