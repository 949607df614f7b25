"""Balance and hairspring: what can be computed of them, from a sheet and what was measured."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from sideshake.web.calibres.balance_forms import BalanceForm, as_written
from sideshake.web.calibres.sheets import sheet_named


def balance(request: HttpRequest) -> HttpResponse:
    """Answer what is known already; a calibre named in the address fills in its sheet's lines."""
    name = request.GET.get("calibre", "")
    sheet = sheet_named(name)
    was_sent = "sent" in request.GET
    written = request.GET.dict() if was_sent else as_written(sheet) if sheet else {}
    form = BalanceForm(written)
    form.is_valid()
    shown = {"form": form, "sheet": sheet, "name": name, "was_sent": was_sent}
    return render(request, "calibres/balance.html", shown)
