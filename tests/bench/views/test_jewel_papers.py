"""Drawings for the jewel maker from the browser: what the records hold stands on sheet and DXF."""

import io
from datetime import date

import ezdxf
import pytest
from pypdf import PdfReader

from sideshake.bench.models import JewelOrder, Outwork, Workshop, the_workshop
from sideshake.bench.services.saving import save

SIZES = {"hole_mm": 0.1, "outside_mm": 1.2, "thickness_mm": 0.3}


def read(answer) -> tuple[str, PdfReader]:
    assert answer.status_code == 200, answer.content[:500]
    reader = PdfReader(io.BytesIO(answer.content))
    return " ".join(" ".join(each.extract_text() for each in reader.pages).split()), reader


def circles(answer) -> set[float]:
    """Return the diameters drawn, as another program reads them, in real millimetres."""
    assert answer["Content-Type"] == "image/vnd.dxf"
    found = ezdxf.read(io.StringIO(answer.content.decode()))
    return {round(2 * each.dxf.radius, 4) for each in found.modelspace().query("CIRCLE")}


def set_shop(**values) -> None:
    the_workshop()
    row = Workshop.objects.get()
    for name, value in values.items():
        setattr(row, name, value)
    row.save()


@pytest.fixture
def measured(client, visit, shipped_sizes):
    client.post(f"/visits/{visit.number}/measure/", shipped_sizes)
    return visit


@pytest.fixture
def order(visit, colleague):
    made = JewelOrder(number="J2026-001", to="Stonewright & Daughter", ordered_on=date(2026, 4, 1))
    save(made, colleague)
    for what, told in (
        ("third wheel above", SIZES),
        ("phosphor bronze for the hole above", {**SIZES, "hole_mm": 0.9, "outside_mm": 2.0}),
        ("fourth wheel below", {**SIZES, "hole_mm": 0.22, "quantity": 3}),
        ("escape wheel", {**SIZES, "hole_mm": 0.12}),
    ):
        save(Outwork(visit=visit, what=what, jewel=True, order=made, **told), colleague)
    return made


def test_the_part_of_one_hole_has_its_sheet_and_its_checks(client, measured):
    set_shop(name="Werkstatt Aldermoor", phone="+44 1632 960123")
    words, reader = read(client.get("/visits/2026-001/jewel/above/drawing.pdf"))
    for said in ("2026-001 above", "Werkstatt Aldermoor", "+44 1632 960123", "js6 (±0.003)",
                 "quantity 1", "Checks on receipt", "Material and finish"):  # fmt: skip
        assert said in words, said
    assert len(reader.pages) == 2
    page = client.get("/visits/2026-001/jewel/above/").content.decode()
    assert "/visits/2026-001/jewel/above/drawing.pdf" in page
    assert "/visits/2026-001/jewel/above/drawing.dxf" in page


def test_the_dxf_of_a_part_measures_what_the_sheet_says(client, measured):
    client.post("/visits/2026-001/jewel/above/have-made/")
    wish = Outwork.objects.get()
    found = circles(client.get("/visits/2026-001/jewel/above/drawing.dxf"))
    assert {round(wish.hole_mm, 4), round(wish.outside_mm, 4)} <= found


def test_an_order_has_every_part_with_material_quantity_and_maker(client, order):
    words, reader = read(client.get(f"/drawer/jewels/{order.pk}/order.pdf"))
    for said in ("J2026-001", "Stonewright & Daughter", "1 April 2026", "Bush, phosphor bronze",
                 "quantity 3, for 2026-001", "Ø 2.000 js6", "Ø 0.900 JS6", "2 of 2"):  # fmt: skip
        assert said in words, said
    assert len(reader.pages) == 3


def test_each_sheet_of_an_order_has_its_dxf(client, order):
    page = client.get(f"/drawer/jewels/{order.pk}/").content.decode()
    for sheet in (1, 2):
        assert f"/drawer/jewels/{order.pk}/order/{sheet}.dxf" in page
    first = circles(client.get(f"/drawer/jewels/{order.pk}/order/1.dxf"))
    second = circles(client.get(f"/drawer/jewels/{order.pk}/order/2.dxf"))
    assert {0.1, 1.2, 0.9, 2.0, 0.22} <= first
    assert {0.12, 1.2} <= second
    assert client.get(f"/drawer/jewels/{order.pk}/order/3.dxf").status_code == 422
    assert client.get(f"/drawer/jewels/{order.pk}/order/1.exe").status_code == 422


@pytest.mark.parametrize(("paper", "size"), [("a4", (841.89, 595.28)), ("us-letter", (792, 612))])
def test_the_order_lies_on_the_workshops_paper(client, order, paper, size):
    set_shop(paper=paper)
    _words, reader = read(client.get(f"/drawer/jewels/{order.pk}/order.pdf"))
    for page in reader.pages:
        box = page.mediabox
        assert (float(box.width), float(box.height)) == pytest.approx(size, abs=0.1)


def test_a_wish_that_lacks_a_size_is_left_out_and_said(client, order, colleague, visit):
    save(Outwork(visit=visit, what="centre wheel", jewel=True, order=order, hole_mm=1), colleague)
    page = client.get(f"/drawer/jewels/{order.pk}/").content.decode()
    assert "Not in the drawing: the sizes of “centre wheel”." in page
    assert "centre wheel" not in read(client.get(f"/drawer/jewels/{order.pk}/order.pdf"))[0]


def test_an_order_with_nothing_to_draw_says_so_and_has_no_link(client, colleague, visit):
    order = JewelOrder(number="J2026-002", to="Stonewright", ordered_on=date(2026, 4, 1))
    save(order, colleague)
    save(Outwork(visit=visit, what="x", jewel=True, order=order), colleague)
    page = client.get(f"/drawer/jewels/{order.pk}/").content.decode()
    assert "order J2026-002: no part of it has hole, outside and thickness" in page
    assert "order.pdf" not in page
    assert client.get(f"/drawer/jewels/{order.pk}/order.pdf").status_code == 422


def test_a_jewel_that_cannot_be_leaves_the_order_page_standing(client, colleague, visit, order):
    save(
        Outwork(visit=visit, what="x", jewel=True, order=order, **{**SIZES, "hole_mm": 9.0}),
        colleague,
    )
    answer = client.get(f"/drawer/jewels/{order.pk}/")
    assert answer.status_code == 200
    assert "must be above 0 and smaller than the outside" in answer.content.decode()


def test_a_visit_has_the_drawings_of_its_parts_among_its_papers(client, order):
    assert "Bush, phosphor bronze" in read(client.get("/visits/2026-001/papers/parts.pdf"))[0]
    assert {0.1, 1.2} <= circles(client.get("/visits/2026-001/papers/parts/1.dxf"))


def test_without_sizes_there_is_no_drawing_and_it_is_said_why(client, visit):
    answer = client.get("/visits/2026-001/papers/parts.pdf")
    assert answer.status_code == 422
    assert "no part is wished" in answer.content.decode()


def test_drawings_open_to_no_stranger(stranger, order):
    for address in ("order.pdf", "order/1.dxf"):
        assert stranger.get(f"/drawer/jewels/{order.pk}/{address}").status_code == 302
