"""Drawings for the jewel maker from the browser: what the records hold stands on sheet and DXF."""

import io
from datetime import date

import ezdxf
import pytest
from pypdf import PdfReader

from sideshake.documents.kinds import PaperKind
from sideshake.web.base.saving import save
from sideshake.web.documents.registry.requests import PaperRequest, paper_of
from sideshake.web.models import JewelOrder, Outwork, Visit, Workshop, the_workshop

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
        (
            "bush for the hole above",
            {**SIZES, "hole_mm": 0.9, "outside_mm": 2.0, "material": "phosphor bronze"},
        ),
        ("fourth wheel below", {**SIZES, "hole_mm": 0.22, "quantity": 3}),
        ("escape wheel", {**SIZES, "hole_mm": 0.12}),
    ):
        save(Outwork(visit=visit, what=what, jewel=True, order=made, **told), colleague)
    return made


def test_the_part_of_one_hole_has_its_sheet_and_its_checks(client, measured):
    set_shop(name="Werkstatt Aldermoor", phone="+44 1632 960123")
    words, reader = read(client.get("/visits/2026-001/jewel/above/drawing.pdf"))
    for said in ("Jewel for the barrel arbor, in the bridge", "Werkstatt Aldermoor",
                 "+44 1632 960123", "js6 (±0.003)", "quantity 1", "Checks on receipt",
                 "DRAFT, nothing is ordered, for 2026-001"):  # fmt: skip
        assert said in words, said
    assert len(reader.pages) == 3
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
    for said in ("J2026-001", "Stonewright & Daughter", "1 April 2026", "phosphor bronze, hard",
                 "quantity 3", "Ø 2.000 js6", "Ø 0.900 JS6", "4 of 4", "J2026-001 / 4",
                 "bush for the hole above"):  # fmt: skip
        assert said in words, said
    assert len(reader.pages) == 6


def test_each_sheet_of_an_order_has_its_dxf(client, order):
    page = client.get(f"/drawer/jewels/{order.pk}/").content.decode()
    for sheet, sizes in enumerate(({0.1, 1.2}, {0.12, 1.2}, {0.22, 1.2}, {0.9, 2.0}), start=1):
        assert f"/drawer/jewels/{order.pk}/order/{sheet}.dxf" in page
        assert sizes <= circles(client.get(f"/drawer/jewels/{order.pk}/order/{sheet}.dxf"))
    assert client.get(f"/drawer/jewels/{order.pk}/order/5.dxf").status_code == 422
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
    assert "phosphor bronze" in read(client.get("/visits/2026-001/papers/parts.pdf"))[0]
    assert {0.1, 1.2} <= circles(client.get("/visits/2026-001/papers/parts/1.dxf"))


def test_an_order_has_one_paper_whoever_asks_for_it(client, order, visit, colleague):
    at_the_order = client.get(f"/drawer/jewels/{order.pk}/order.pdf")
    other = Visit(number="2026-002", watch=visit.watch, arrived_on=date(2026, 3, 3),
                  step_since=date(2026, 3, 3))  # fmt: skip
    save(other, colleague)
    save(Outwork(visit=other, what="a fifth", jewel=True, order=order, **SIZES), colleague)
    for number in ("2026-001", "2026-002"):
        at_the_visit = client.get(f"/visits/{number}/papers/parts.pdf")
        again = client.get(f"/drawer/jewels/{order.pk}/order.pdf")
        wanted = PaperRequest(kind=PaperKind.JEWEL_ORDER, visit=number, address="")
        command = paper_of(wanted, day=date(2027, 1, 1))
        assert at_the_visit.content == again.content == command.data
        assert at_the_visit["Content-Disposition"] == again["Content-Disposition"]
        assert command.name == "jewel-order-J2026-001.pdf"
    assert again.content != at_the_order.content


def test_what_a_visit_has_ordered_and_what_not_stands_apart(client, order, visit, colleague):
    papers = client.get("/visits/2026-001/papers/").content.decode()
    assert f"/drawer/jewels/{order.pk}/order.pdf" in papers
    assert "Jewel order J2026-001" in papers
    assert "not ordered yet" not in papers
    save(Outwork(visit=visit, what="pallet jewel", jewel=True, **SIZES), colleague)
    papers = client.get("/visits/2026-001/papers/").content.decode()
    assert "“pallet jewel”, which is not ordered yet" in papers
    assert "pallet jewel" not in read(client.get("/visits/2026-001/papers/parts.pdf"))[0]


def test_a_wish_alone_is_a_draft(client, visit, colleague):
    save(Outwork(visit=visit, what="pallet jewel", jewel=True, **SIZES), colleague)
    said = read(client.get("/visits/2026-001/papers/parts.pdf"))[0]
    assert "DRAFT, nothing is ordered, for 2026-001" in said
    assert "pallet jewel" in said
    assert "Jewel order, draft" in client.get("/visits/2026-001/papers/").content.decode()


def test_an_order_says_on_its_page_what_its_maker_would_ask(client, order, colleague):
    page = client.get(f"/drawer/jewels/{order.pk}/").content.decode()
    assert "Still missing: the day it is wanted, whom to ask" in page
    set_shop(phone="+44 1632 960123", address="Mill Lane 3")
    order.wanted_on, order.ask = date(2026, 5, 1), "Ada Bront"
    save(order, colleague)
    page = client.get(f"/drawer/jewels/{order.pk}/").content.decode()
    assert "Still missing" not in page
    said = read(client.get(f"/drawer/jewels/{order.pk}/order.pdf"))[0]
    for each in ("Wanted by 1 May 2026", "Ada Bront", "Mill Lane 3", "closed box or paper"):
        assert each in said, each


def test_our_own_note_on_an_order_or_a_wish_is_on_no_paper(client, order, colleague):
    order.note = "they are always late"
    save(order, colleague)
    wish = order.wishes.first()
    wish.note = "old one chipped"
    save(wish, colleague)
    said = read(client.get(f"/drawer/jewels/{order.pk}/order.pdf"))[0]
    assert "late" not in said
    assert "chipped" not in said


def test_the_shape_on_record_is_the_shape_on_paper(client, visit, colleague):
    wish = Outwork(visit=visit, what="escape wheel", jewel=True, bore="olive", sink=False,
                   colour="clear", **SIZES)  # fmt: skip
    save(wish, colleague)
    said = read(client.get("/visits/2026-001/papers/parts.pdf"))[0]
    assert "Olive hole, R 0.300, no oil sink" in said
    assert "(corundum), clear" in said
    wish.bore, wish.sink, wish.colour = "straight", True, "red"
    save(wish, colleague)
    said = read(client.get("/visits/2026-001/papers/parts.pdf"))[0]
    assert "Straight hole, oil sink Ø 0.650, 0.090 deep" in said
    assert "(corundum), red" in said


def test_a_sink_without_room_is_said_where_the_order_is(client, visit, colleague):
    narrow = {**SIZES, "hole_mm": 1.0}
    save(Outwork(visit=visit, what="x", jewel=True, **narrow), colleague)
    answer = client.get("/visits/2026-001/papers/parts.pdf")
    assert answer.status_code == 422
    assert "no room for an oil sink" in answer.content.decode()
    assert client.get("/visits/2026-001/papers/").status_code == 200
    assert client.get("/drawer/jewels/").status_code == 200


def test_without_sizes_there_is_no_drawing_and_it_is_said_why(client, visit):
    answer = client.get("/visits/2026-001/papers/parts.pdf")
    assert answer.status_code == 422
    assert "no part is wished" in answer.content.decode()


def test_drawings_open_to_no_stranger(stranger, order):
    for address in ("order.pdf", "order/1.dxf"):
        assert stranger.get(f"/drawer/jewels/{order.pk}/{address}").status_code == 302
