"""Drawings for the jewel maker: the sheet as PDF with its checks, and the same sheet as DXF."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext as _

from sideshake.core.errors import InputError
from sideshake.drawings.jewel_sheet import OrderDrawing, jewel_sheets
from sideshake.web.base.access import visit_by_number
from sideshake.web.base.file_response import as_picture
from sideshake.web.documents.jewel_orders import drawn_order, order_for, part_at
from sideshake.web.documents.registry.makers import draft_day, order_paper
from sideshake.web.documents.views import as_answer
from sideshake.web.measuring.services import place_of
from sideshake.web.models import JewelOrder
from sideshake.web.outwork.ordering import order_given
from sideshake.web.visits.queries import visit_with_outwork


def part_drawing(_request: HttpRequest, number: str, place: str, ending: str) -> HttpResponse:
    """Draw the part for one hole, as SVG, as DXF, or as the sheet with its checks in PDF."""
    visit = visit_by_number(number)
    day = draft_day(visit)
    order = part_at(visit, place_of(place), day=day)
    if ending == "pdf":
        return as_answer(order_paper(order, f"{number}-{place}", day=day))
    return as_drawing(order, 1, ending, f"{number}-{place}")


def parts_drawing(_request: HttpRequest, number: str, sheet: int, ending: str) -> HttpResponse:
    """Draw one sheet of a visit's newest order or its draft, as SVG or DXF."""
    visit = visit_with_outwork(number)
    order = order_for(visit, day=draft_day(visit))
    return as_drawing(order, sheet, ending, f"{number}-{sheet}")


def order_pdf(_request: HttpRequest, pk: int) -> HttpResponse:
    """Return an order to the jewel maker as PDF."""
    found = get_object_or_404(JewelOrder, pk=pk)
    return as_answer(order_given(found))


def order_drawing(_request: HttpRequest, pk: int, sheet: int, ending: str) -> HttpResponse:
    """Draw one sheet of an order, as SVG or DXF."""
    found = get_object_or_404(JewelOrder, pk=pk)
    return as_drawing(drawn_order(found), sheet, ending, f"{found.number}-{sheet}")


def as_drawing(order: OrderDrawing, number: int, ending: str, name: str) -> HttpResponse:
    """Return one sheet of an order as a picture, or as a DXF file to be kept.

    Raises
    ------
    InputError : the order has no such sheet, or there is no drawing with that ending
    """
    sheets = jewel_sheets(order)
    if not 1 <= number <= len(sheets) or ending not in ("svg", "dxf"):
        raise InputError(
            _("the drawing has %(n)d sheets, each as svg and dxf") % {"n": len(sheets)}
        )
    if ending == "svg":
        return as_picture(sheets[number - 1])
    from sideshake.drawings.dxf import dxf_text  # loads slowly, and only this page needs it

    answer = HttpResponse(dxf_text(sheets[number - 1]), content_type="image/vnd.dxf")
    answer.headers["Content-Disposition"] = f'attachment; filename="{name}.dxf"'
    return answer
