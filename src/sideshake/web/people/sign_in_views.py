"""Signing in and out, and one's own password."""

import math

from django.contrib import messages
from django.contrib.auth import authenticate, login, logout, update_session_auth_hash
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST

from sideshake.web.base.access import signed_in
from sideshake.web.models import User, the_workshop
from sideshake.web.people.forms import NewPasswordForm
from sideshake.web.people.services import set_password
from sideshake.web.people.sign_in import claim_try, user_of_link, was_right


@sensitive_post_parameters("password")
@login_not_required
def sign_in(request: HttpRequest) -> HttpResponse:
    """Ask for name and password; what was typed as name stays."""
    if request.method != "POST":
        return sign_in_page(request, "", "", 200)
    name = request.POST.get("name", "").strip()
    wait = math.ceil(claim_try(name, address_of(request)))
    if wait:
        return sign_in_page(request, name, wait_words(wait), 429)
    user = authenticate(request, username=name, password=request.POST.get("password", ""))
    if user is None:
        return sign_in_page(request, name, _("Name and password do not belong together."), 422)
    was_right(name, address_of(request))
    login(request, user)
    return redirect(wanted_page(request))


def address_of(request: HttpRequest) -> str:
    """Return from which computer somebody asks."""
    return str(request.META.get("REMOTE_ADDR", ""))


def sign_in_page(request: HttpRequest, name: str, wrong: str, status: int) -> HttpResponse:
    """Return the page that asks for name and password."""
    wanted = request.POST.get("next") or request.GET.get("next", "")
    shown = {"name": name, "wrong": wrong, "next": wanted}
    return render(request, "people/sign_in.html", shown, status=status)


def wait_words(wait: int) -> str:
    """Return what somebody reads who tried too often."""
    return ngettext(
        "Too many wrong tries. Try again in %(wait)s second.",
        "Too many wrong tries. Try again in %(wait)s seconds.",
        wait,
    ) % {"wait": wait}


@login_not_required
def sign_in_by_link(request: HttpRequest, token: str) -> HttpResponse:
    """Sign in by a link that works once; a press is asked for, so that no preview uses it up."""
    if request.method != "POST":
        return render(request, "people/sign_in_link.html")
    user = user_of_link(token)
    if user is None:
        wrong = _("This link has been used, or is too old. Start the workshop again for a new one.")
        return render(request, "people/sign_in.html", {"wrong": wrong}, status=403)
    login(request, user, backend="django.contrib.auth.backends.ModelBackend")
    return redirect("begin" if user.may_run and the_workshop().untouched else "today")


@require_POST
def sign_out(request: HttpRequest) -> HttpResponse:
    """Sign out."""
    logout(request)
    return redirect("sign-in")


@sensitive_post_parameters()
def password(request: HttpRequest) -> HttpResponse:
    """Set one's own password; the one until now is asked for when there is one."""
    user = signed_in(request)
    form = NewPasswordForm(request.POST or None, user, ask_old=has_password(user))
    if form.is_bound and (wait := math.ceil(claim_try(user.username, address_of(request)))):
        return sign_in_page(request, user.username, wait_words(wait), 429)
    if form.is_valid():
        was_right(user.username, address_of(request))
        set_password(user, form.cleaned_data["new"], user)
        update_session_auth_hash(request, user)
        messages.success(request, _("Your password is set."))
        return redirect("today")
    shown = {"form": form, "title": _("Your password"), "back": "/"}
    return render(request, "base/edit.html", shown, status=422 if form.is_bound else 200)


def has_password(user: User) -> bool:
    """Return whether somebody can sign in by password."""
    return bool(user.password) and user.has_usable_password()


def wanted_page(request: HttpRequest) -> str:
    """Return where the person wanted to go, if that is a page of this workshop."""
    wanted = request.POST.get("next", "")
    if url_has_allowed_host_and_scheme(wanted, allowed_hosts={request.get_host()}):
        return wanted
    return "/"
