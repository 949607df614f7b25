"""Signing in and out."""

from django.contrib.auth import authenticate, login, logout
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from sideshake.bench.services.door import user_of_link


@login_not_required
def sign_in(request: HttpRequest) -> HttpResponse:
    """Ask for name and password; what was typed as name stays."""
    name = request.POST.get("name", "")
    if request.method == "POST":
        user = authenticate(request, username=name, password=request.POST.get("password", ""))
        if user is not None:
            login(request, user)
            return redirect(wanted_page(request))
    wrong = _("Name and password do not belong together.") if request.method == "POST" else ""
    return render(
        request,
        "bench/sign_in.html",
        {"name": name, "wrong": wrong, "next": request.GET.get("next", "")},
        status=422 if wrong else 200,
    )


@login_not_required
def sign_in_by_link(request: HttpRequest, token: str) -> HttpResponse:
    """Sign in by a link that works once; a press is asked for, so that no preview uses it up."""
    if request.method != "POST":
        return render(request, "bench/sign_in_link.html")
    user = user_of_link(token)
    if user is None:
        wrong = _("This link has been used, or is too old. Start the workshop again for a new one.")
        return render(request, "bench/sign_in.html", {"wrong": wrong}, status=403)
    login(request, user, backend="django.contrib.auth.backends.ModelBackend")
    return redirect("today")


@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    """Sign out."""
    logout(request)
    return redirect("sign-in")


def wanted_page(request: HttpRequest) -> str:
    """Return where the person wanted to go, if that is a page of this workshop."""
    wanted = request.POST.get("next", "")
    if url_has_allowed_host_and_scheme(wanted, allowed_hosts={request.get_host()}):
        return wanted
    return "/"
