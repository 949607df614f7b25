"""Files that no record names: shown, and put aside; for the owner of the workshop only."""

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from sideshake.web.base.access import running_the_workshop
from sideshake.web.base.holding import hold_workshop
from sideshake.web.storage.stray import counted, put_aside, settled_before_s, stray_files


def stray(request: HttpRequest) -> HttpResponse:
    """Look through the workshop's folder for files that no record names."""
    running_the_workshop(request)
    found = counted(stray_files(before_s=settled_before_s()))
    return render(request, "storage/stray_files.html", {"stray": found})


@require_POST
@transaction.atomic
def put_stray_aside(request: HttpRequest) -> HttpResponse:
    """Put the files that no record names into a folder of their own, one press after the other."""
    running_the_workshop(request)
    hold_workshop()
    done = put_aside(before_s=settled_before_s())
    told = ngettext(
        "One file was put aside in files/unclaimed.",
        "%(n)d files were put aside in files/unclaimed.",
        done.count,
    )
    nothing = _("There was no file to put aside.")
    messages.success(request, told % {"n": done.count} if done.count else nothing)
    return redirect("stray-files")
