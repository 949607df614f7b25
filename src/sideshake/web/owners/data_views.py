"""What is held on an owner: given out as one file, and erased; for the owner of the workshop."""

import tempfile
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib import messages
from django.http import FileResponse, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_POST

from sideshake.web.base.access import running_the_workshop
from sideshake.web.base.asking import SureQuestion, unsure
from sideshake.web.base.editing import version_seen
from sideshake.web.base.rows import Table
from sideshake.web.models import (
    Issued,
    Owner,
    Photograph,
    Proposal,
    Reading,
    Recording,
    Visit,
    Watch,
    the_workshop,
)
from sideshake.web.owners.archive import write_archive
from sideshake.web.owners.belonging import rows_in
from sideshake.web.owners.erasing import KeptByLaw, elsewhere, erase, kept_of, scrub, why_not
from sideshake.web.storage.full import last_full
from sideshake.web.storage.leaving import left_words
from sideshake.web.templatetags.bench import day as day_words

COUNTED: dict[Table, Any] = {
    Watch: gettext_lazy("watches"),
    Visit: gettext_lazy("visits"),
    Photograph: gettext_lazy("photographs"),
    Recording: gettext_lazy("recordings"),
    Reading: gettext_lazy("readings"),
    Proposal: gettext_lazy("proposals"),
    Issued: gettext_lazy("issued papers"),
}


@require_POST
def give_out(request: HttpRequest, pk: int) -> FileResponse:
    """Give out everything that is held on an owner, as one file."""
    running_the_workshop(request)
    owner = get_object_or_404(Owner, pk=pk)
    file = tempfile.TemporaryFile(dir=settings.FILE_UPLOAD_TEMP_DIR)  # noqa: SIM115 - the answer closes it
    write_archive(owner, file)
    file.seek(0)
    return FileResponse(
        file, as_attachment=True, filename=f"owner-{pk}.zip", content_type="application/zip"
    )


def erase_owner(request: HttpRequest, pk: int) -> HttpResponse:
    """Ask once, in words, what goes and what stays; then erase the owner."""
    by, day = running_the_workshop(request), timezone.localdate()
    owner = get_object_or_404(Owner, pk=pk)
    shown = {
        "owner": owner,
        "why_not": why_not(owner),
        "counts": counts_of(owner),
        "kept": kept_of(owner, on=day),
        "years": the_workshop().keep_years,
        "elsewhere": elsewhere(owner),
        "backups": backups_holding(),
    }
    template = "owners/erase.html"
    if shown["why_not"]:
        status = 422 if request.method == "POST" else 200
        return render(request, template, shown, status=status)
    page = unsure(request, about_erasing(owner, shown), template=template, shown=shown)
    if page:
        return page
    kept = erase(owner, by, seen=version_seen(request), on=day)
    messages.success(request, said_after(kept, clean=scrub()))
    return redirect("owner", pk)


def about_erasing(owner: Owner, shown: dict[str, Any]) -> SureQuestion:
    """Return the question whether an owner is erased; the page words what is told as lists."""
    kept: KeptByLaw = shown["kept"]
    return SureQuestion(
        title=_("Erase %(name)s?") % {"name": owner.name},
        told=(
            *(f"{name} {count}" for name, count in shown["counts"]),
            *(invoice.number for invoice in kept.invoices),
            f"{len(kept.payments)} {kept.until} {shown['years']}",
            *shown["elsewhere"],
            *shown["backups"],
        ),
        do=_("Erase for good"),
        stay=reverse("owner", args=[owner.pk]),
    )


def counts_of(owner: Owner) -> list[tuple[str, int]]:
    """Return how many rows of each kind there are."""
    rows: list[tuple[str, Any]] = [
        (str(name), rows_in(kind, owner)) for kind, name in COUNTED.items()
    ]
    return [(name, count) for name, found in rows if (count := found.count())]


def backups_holding() -> list[str]:
    """Return the backups that hold what is here now: those in the folder, and the last full one."""
    found = sorted(str(path) for path in Path(settings.BACKUPS).glob("*.zip"))
    full = last_full()
    return [*found, full.place] if full and full.place not in found else found


def said_after(kept: KeptByLaw, *, clean: bool) -> str:
    """Return what is said when an owner is erased."""
    said = _("Erased.")
    if kept.until:
        counts = {"invoices": len(kept.invoices), "payments": len(kept.payments)}
        words = _("Kept until %(day)s: invoices %(invoices)d, payments %(payments)d.")
        said += " " + words % {**counts, "day": day_words(kept.until)}
    if not clean:
        said += " " + _(
            "Somebody was at work just now, so the database file still holds remains that no page "
            "shows; press Erase once more when nobody is."
        )
    if left := left_words():
        said += " " + left
    return said
