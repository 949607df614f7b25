"""The jewel order as its maker reads it: each sentence with the record that makes it."""

import io
import time
from dataclasses import fields, replace

import pytest
from pypdf import PdfReader

from sideshake.documents.jewel_order import ASKS, jewel_order_sheet, order_gaps
from sideshake.documents.typeset import pdf
from sideshake.drawings.jewel_sheet import DRAFT
from sideshake.fit.materials import BRONZE
from sideshake.fit.shape import BoreShape
from tests.documents.conftest import DAY, HEAD


@pytest.fixture
def whole(order):
    return replace(
        order,
        to="Atelier Rubellin",
        wanted="24 December 2026",
        call="Ada Bront",
        phone=HEAD.phone,
        email=HEAD.email,
        deliver="Werkstatt Aldermoor\nMill Lane 3\nOberaldermoor",
        packing="each in its own paper",
    )


def words(made, page=None) -> str:
    reader = PdfReader(io.BytesIO(pdf(jewel_order_sheet(made, day=DAY, head=HEAD))))
    found = reader.pages if page is None else [reader.pages[page]]
    return " ".join(" ".join(each.extract_text() for each in found).split())


def with_part(made, **told):
    (line,) = made.lines
    return replace(made, lines=(replace(line, part=replace(line.part, **told)),))


def test_a_whole_order_leaves_nothing_to_telephone_about(whole):
    said = words(whole, 0)
    for each in (
        "Jewel order J-3: to Atelier Rubellin", "Ordered on 25 Nov 2026", "Wanted by 24 December",
        "Whom to ask Ada Bront, +44 1632 960123, bench@example.org",
        "Deliver to Werkstatt Aldermoor, Mill Lane 3, Oberaldermoor",
        "Packing each in its own paper", "0.920 × 2.000 × 0.600",
        "Straight hole, oil sink Ø 1.460, 0.180 deep", "synthetic ruby (corundum), red", "2026-014",
        "hole ±0.003, outside ±0.003, thickness ±0.020 mm", ASKS,
    ):  # fmt: skip
        assert each in said, each
    assert order_gaps(whole) == ()


@pytest.mark.parametrize(
    ("name", "label", "gap"),
    [
        ("to", ": to ", "who makes it"),
        ("wanted", "Wanted by", "the day it is wanted"),
        ("call", "Ada Bront", "whom to ask"),
        ("deliver", "Deliver to", "where to send it"),
        ("packing", "Packing", "how to pack it"),
    ],
)
def test_what_is_not_on_record_is_not_on_paper_and_is_told_to_the_restorer(whole, name, label, gap):
    assert name in {each.name for each in fields(whole)}
    assert label in words(whole, 0)
    without = replace(whole, **{name: ""})
    assert label not in words(without, 0)
    assert order_gaps(without) == (gap,)


def test_no_way_to_reach_us_is_a_gap(whole):
    assert order_gaps(replace(whole, phone="")) == ()
    assert order_gaps(replace(whole, phone="", email="")) == ("how to reach you",)


def test_without_a_number_it_is_a_draft_and_says_so(whole):
    draft, order = words(replace(whole, number="")), words(whole)
    for each in (DRAFT, "Jewel order, draft", "As of", "draft / 1"):
        assert each in draft, each
        assert each not in order, each
    assert "Ordered on" not in draft
    pages = [words(replace(whole, number=""), page) for page in range(3)]
    assert [f"{DRAFT}, for 2026-014" in page for page in pages] == [True] * 3
    several = replace(
        whole, number="", lines=(*whole.lines, replace(whole.lines[0], reference="X"))
    )
    assert f"{DRAFT}, for 2026-014, X" in words(several, 1)
    assert ASKS not in draft
    assert order_gaps(replace(whole, number="", to="", wanted="")) == ()


def test_the_checks_speak_of_sink_and_ruby_only_where_there_are_some(whole):
    sink, ruby = "The oil sink is on the chamfered side", "Under the microscope"
    assert sink in words(whole, 2)
    flat = words(with_part(whole, sink=False), 2)
    assert sink not in flat
    assert ruby in flat
    chamfer = "The chamfer is on one edge only"
    assert chamfer in flat
    assert chamfer not in words(with_part(whole, chamfer_mm=0.0), 2)
    bush = words(with_part(whole, material=BRONZE), 2)
    assert sink not in bush
    assert ruby not in bush


def test_a_check_of_some_parts_only_names_them(whole):
    # the smallest hole is number 1
    more = with_part(whole, hole_mm=0.95, sink=False, bore=BoreShape.OLIVE).lines
    both = words(replace(whole, lines=(*whole.lines, *more)))
    assert "the flat face has none (no. 1)." in both
    assert "The hole is olive, narrowest in its middle (no. 2)." in both
    assert "the one that enters first." in both
    assert "(no." not in words(whole)


def test_the_chamfered_edge_enters_first_on_every_page_and_no_flat_side_leads(whole):
    said = words(whole)
    assert said.count("enters first") == 3
    assert "leading" not in said


def test_one_drawing_is_one_and_several_are_several(whole):
    assert "The drawing follows; where order and drawing differ, the drawing holds." in words(
        whole, 0
    )
    more = replace(whole, lines=(*whole.lines, *with_part(whole, bore=BoreShape.OLIVE).lines))
    assert (
        "The drawing of each part follows; where order and drawing differ, the drawing holds."
        in words(more, 0)
    )
    assert "Olive hole, R 0.400" in words(more, 0)
    assert "Olive" not in words(whole)


def test_an_order_is_set_in_under_a_fifth_of_a_second_once_warm(whole):
    pdf(jewel_order_sheet(whole, day=DAY, head=HEAD))
    took = []
    for _again in range(3):
        start = time.process_time()
        pdf(jewel_order_sheet(whole, day=DAY, head=HEAD))
        took.append(time.process_time() - start)
    assert min(took) < 0.2
