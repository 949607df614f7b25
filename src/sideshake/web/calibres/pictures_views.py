"""What is drawn of a calibre, and its sheet as a file."""

from django.http import Http404, HttpRequest, HttpResponse
from django.utils.text import slugify
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError, NotEnough
from sideshake.movement.sheet import CalibreSheet
from sideshake.web.base.file_response import as_picture
from sideshake.web.calibres.drawn import DRAWINGS
from sideshake.web.calibres.sheets import example_text, sheet_named
from sideshake.web.models import Calibre


def drawn(_request: HttpRequest, name: str, picture: str) -> HttpResponse:
    """Return a drawing of a calibre, or 404 with the reason why there is none."""
    try:
        return as_picture(DRAWINGS[picture](sheet_or_404(name)))
    except (InputError, NotEnough) as error:
        raise Http404(error.sentence) from None


def sheet_file(_request: HttpRequest, name: str) -> HttpResponse:
    """Give the sheet out as a file that any editor and `sideshake calibre check` read."""
    own = Calibre.objects.filter(name=name).first()
    text = own.file if own else example_text(name)
    if not text:
        raise Http404(_("There is no calibre %(name)s.") % {"name": name})
    answer = HttpResponse(text, content_type="application/toml; charset=utf-8")
    plain = slugify(name) or "calibre"
    answer.headers["Content-Disposition"] = f'attachment; filename="{plain}.toml"'
    return answer


def sheet_or_404(name: str) -> CalibreSheet:
    """Return a sheet by its name, or 404."""
    sheet = sheet_named(name)
    if sheet is None:
        raise Http404(_("There is no calibre %(name)s.") % {"name": name})
    return sheet
