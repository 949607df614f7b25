"""Who may see and change what. Every page looks its records up here: a stranger gets 404."""

from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest
from django.utils.translation import gettext as _

from sideshake.web.models import User, Visit


def signed_in(request: HttpRequest) -> User:
    """Return who is asking; the sign-in middleware has let nobody else through."""
    if not isinstance(request.user, User):
        raise PermissionDenied
    return request.user


def visit_by_number(number: str) -> Visit:
    """Return a visit with its watch and owner, or 404."""
    found = Visit.objects.select_related("watch__owner").filter(number=number).first()
    if found is None:
        raise Http404(_("There is no visit %(number)s.") % {"number": number})
    return found


def pricing(request: HttpRequest) -> User:
    """Return who is asking if prices are their business; refuse an apprentice.

    Raises
    ------
    PermissionDenied : an apprentice
    """
    user = signed_in(request)
    if not user.may_price:
        raise PermissionDenied(_("Prices and money are for the workshop's owner and colleagues."))
    return user


def running_the_workshop(request: HttpRequest) -> User:
    """Return who is asking if it is the owner of the workshop; refuse all others.

    Raises
    ------
    PermissionDenied : anybody else
    """
    user = signed_in(request)
    if not user.may_run:
        raise PermissionDenied(_("This is for the owner of the workshop."))
    return user


def publishing(request: HttpRequest) -> User:
    """Return who is asking if what others may see is their business; refuse an apprentice.

    Raises
    ------
    PermissionDenied : an apprentice
    """
    user = signed_in(request)
    if not user.may_price:
        raise PermissionDenied(
            _("Showing a watch to others is for the workshop's owner and colleagues.")
        )
    return user
