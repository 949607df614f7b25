"""Each sentence of the jewel order and its drawing: the record that makes it, and one that not.

The last tests read the words in the template and in the modules whose words stand on the order: a
wording that no case makes fails them, so a new sentence comes with its case and its counter-case.
"""

from dataclasses import replace
from functools import cache

import pytest

from sideshake.documents.jewel_order import jewel_order_sheet
from sideshake.drawings.jewel_sheet import OrderDrawing, OrderLine
from sideshake.fit.jewel import Part
from sideshake.fit.making import PACKING
from sideshake.fit.materials import BRASS, BRASS_SOFT, BRONZE, NICKEL_SILVER, STEEL
from sideshake.fit.shape import BoreShape
from sideshake.wear.verdict import BearingPlace
from sideshake.workshop_rules.repair import part_name
from tests.documents.conftest import DAY, HEAD, repair_of
from tests.documents.sentences import (
    SOURCE,
    all_words,
    by,
    template,
    template_wordings,
    unread,
    without_case,
    wordings,
)  # fmt: skip

PART = Part(outside_mm=2.0, hole_mm=0.92, thickness_mm=0.6)


@cache
def read(order: OrderDrawing) -> str:
    return all_words(jewel_order_sheet(order, day=DAY, head=HEAD))


def ordered(*, parts=(PART,), name="", quantity=2, reference="2026-014", **more) -> str:
    lines = (OrderLine(part=part, quantity=quantity, reference=reference, name=name)
             for part in parts)  # fmt: skip
    usual = {"workshop": HEAD.name, "number": "J-3", "date": "25 Nov 2026"}
    return read(OrderDrawing(lines=tuple(lines), **{**usual, **more}))


def made(*others: Part, **told) -> str:
    return ordered(parts=(replace(PART, **told), *others))


DRAFT = {"number": ""}
ORDER = by(
    ordered,
    ("Jewel order J-3 Ordered on 25 Nov 2026", {}, DRAFT),
    ("Jewel order, draft As of 25 Nov 2026", DRAFT, {}),
    ("Jewel order J-3: to Atelier Rubellin", {"to": "Atelier Rubellin"}, {}),
    ("Jewel order J-3 · page 1 of 3", {}, DRAFT),
    ("Jewel order J-3, sheet 1 of 1", {}, {"parts": (PART, replace(PART, colour="blue"))}),
    ("Jewel order draft, sheet 1 of 1", DRAFT, {}),
    ("Version 2; it takes the place of version 1", {"version": 2}, {}),
    ("Wanted by 24 December", {"wanted": "24 December"}, {}),
    ("Whom to ask Ada Bront", {"call": "Ada Bront"}, {}),
    ("Whom to ask 01632 960123", {"phone": "01632 960123"}, {}),
    ("Deliver to Mill Lane 3", {"deliver": "Mill Lane 3"}, {}),
    (f"Packing {PACKING}", {"packing": PACKING}, {}),
    (
        "No. Part Hole × outside × thickness, mm Shape, mm Material Quantity For 1 Jewel, ruby",
        {},
        {"name": "Jewel for the fourth wheel"},
    ),
    ("DRAFT, nothing is ordered, for 2026-014 Jewel order, draft", DRAFT, {}),
    ("Please send your price and the day of delivery before you begin.", {}, DRAFT),
    (
        "The drawing follows; where order and drawing differ, the drawing holds. Tolerances: hole "
        "±0.003, outside ±0.003, thickness ±0.020 mm; the hole runs out against the outside by at "
        "most 0.005 mm; the flat face is square to the hole within 0.005 mm.",
        {},
        {"parts": (PART, replace(PART, colour="blue"))},
    ),
    (
        "The drawing of each part follows; where order and drawing differ, the drawing holds.",
        {"parts": (PART, replace(PART, colour="blue"))},
        {"parts": (PART, PART)},
    ),
    ("Checks on receipt, for the workshop: J-3", {}, DRAFT),
    ("Checks on receipt, for the workshop: draft", DRAFT, {}),
    (
        "No. Part Quantity For Hole, mm Outside, mm Thickness, mm 1 Jewel, ruby: 0.920 × 2.000 × "
        "0.600 mm 2 2026-014 0.917 to 0.923 1.997 to 2.003 0.580 to 0.620",
        {},
        {"quantity": 3},
    ),
    ("part Jewel, ruby quantity 2 material", {}, {"quantity": 3}),
    (
        "from Werkstatt Aldermoor drawing J-3 / 1 for 2026-014 date 25 Nov 2026 sheet 1 of 1",
        {},
        {"call": "Ada Bront"},
    ),
    ("ask Ada Bront, 01632 960123", {"call": "Ada Bront", "phone": "01632 960123"}, {}),
    ("to Atelier Rubellin drawing", {"to": "Atelier Rubellin"}, {}),
    ("drawing draft / 1", DRAFT, {}),
    (
        "Jewel for the barrel arbor, in the bridge",
        {"name": part_name(repair_of(BearingPlace.ABOVE))},
        {"name": part_name(repair_of(BearingPlace.BELOW))},
    ),
    (
        "Bush for the barrel arbor, in the plate",
        {"name": part_name(repair_of(BearingPlace.BELOW, made_of=BRONZE))},
        {"name": part_name(repair_of(BearingPlace.BELOW))},
    ),
)
FLAT, BUSH, OLIVE = {"sink": False}, {"material": BRONZE}, {"bore": BoreShape.OLIVE}
SHARP = {"chamfer_mm": 0.0}
PARTS = by(
    made,
    ("Straight hole, oil sink Ø 1.460, 0.180 deep", {}, FLAT),
    ("Straight hole, no oil sink", FLAT, {}),
    ("Olive hole, R 0.400, oil sink", OLIVE, {}),
    ("olive hole, R 0.400 ±0.050", OLIVE, {}),
    ("straight hole", {}, OLIVE),
    ("2× R 0.020 ±0.010", {}, {"thickness_mm": 0.15}),
    ("0.050 ±0.020 × 45° enters first", {}, SHARP),
    ("oil sink, spherical", {}, FLAT),
    ("synthetic ruby (corundum), red", {}, {"colour": "blue"}),
    ("Jewel, ruby", {}, BUSH),
    ("Bush, phosphor bronze", BUSH, {}),
    ("Bush, hard brass", {"material": BRASS}, BUSH),
    ("leaded brass, hard drawn", {"material": BRASS}, BUSH),
    ("phosphor bronze, hard drawn", BUSH, {}),
    ("Bush, half-hard brass", {"material": BRASS_SOFT}, {"material": BRASS}),
    ("Bush, nickel silver", {"material": NICKEL_SILVER}, BUSH),
    ("Bush, steel", {"material": STEEL}, BUSH),
    (
        "Ruby of one crystal; no crack, chip or inclusion to be seen 20 times enlarged. Polished: "
        "hole, its edges, oil sink and flat face; outside ground.",
        {},
        FLAT,
    ),
    ("Polished: hole, its edges, flat face; outside ground.", FLAT, {}),
    ("Bored; the workshop opens and burnishes the hole after pressing.", BUSH, {}),
    (
        "When it is pressed in, the chamfered edge enters first; other edges broken by at most "
        "0.02.",
        {},
        SHARP,
    ),
    ("The chamfer is on one edge only, the one that enters first.", {}, SHARP),
    ("The hole is olive, narrowest in its middle.", OLIVE, {}),
    ("The oil sink is on the chamfered side; the flat face has none.", {}, FLAT),
    ("Under the microscope: no crack, chip or inclusion; hole and flat face polished.", {}, BUSH),
    ("scale, unit 20:1, mm", {}, {"outside_mm": 5.0}),
    (
        "Jewel, ruby, 0.920 × 2.000 × 0.600 mm (hole, outside, thickness): cut along its axis and "
        "from the outer face, 20:1.",
        {},
        {"hole_mm": 0.93},
    ),
)
EVERY_ORDER = (
    "Number and quantity agree with the order.",
    "Hole tried with a pin gauge of its lower limit (goes) and its upper one (does not go).",
    "Outside measured in two directions with a micrometer; inside its limits.",
    "Thickness measured with a micrometer; inside its limits.",
    "Run-out of hole to outside, flat face square to hole: where a fixture is at hand.",
    "We check each part when it comes: the hole with pin gauges of its two limits, outside and "
    "thickness with a micrometer.",
    "Received on Checked by",
    "Lengths in mm. Limits by ISO 286-1, run-out and squareness by ISO 1101, datums by ISO 5459, "
    "texture by ISO 21920-1, edges by ISO 13715, first-angle projection by ISO 5456-2. All sizes "
    "hold at 20 °C (ISO 1).",
    "other surfaces other edges projection",
)
"""What stands on every order whatever the records say: no record must not make it."""
CASES = (*ORDER, *PARTS)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.sentence[:60])
def test_a_sentence_stands_where_a_record_makes_it_and_nowhere_else(case):
    assert case.sentence in case.made()
    assert case.sentence not in case.not_made()


@pytest.mark.parametrize("sentence", EVERY_ORDER, ids=lambda sentence: sentence[:60])
def test_what_holds_of_every_part_stands_on_every_order(sentence):
    for printed in (ordered(), ordered(**DRAFT), made(**BUSH, **SHARP), made(**FLAT, **OLIVE)):
        assert printed.count(sentence) == 1


UNPRINTED = ("order_gaps", "repair_sentence", "fit_words", "depth")
"""Functions whose words are told to the restorer, beside the order."""
MODULES = (
    "documents/jewel_order.py",
    "fit/making.py",
    "fit/shape.py",
    "fit/materials.py",
    "drawings/jewel_sheet.py",
    "drawings/jewel_views.py",
    "workshop_rules/repair.py",
)
TEMPLATE = "jewel_order.typ"


def without(found: set[str]) -> set[str]:
    return without_case(found, CASES, *EVERY_ORDER)


@pytest.mark.parametrize("module", MODULES)
def test_every_wording_of_the_jewel_order_has_its_case(module):
    found = wordings((SOURCE / module).read_text(), unprinted=UNPRINTED)
    assert found
    assert without(found) == set()


def test_every_wording_of_its_template_has_its_case():
    found = template_wordings(template(TEMPLATE))
    assert len(found) >= 10
    assert without(found) == set()


def test_no_word_of_the_order_comes_from_a_module_that_is_not_read_here():
    records = " ".join((*HEAD.lines, HEAD.name, "Nov", PART.colour))
    for printed in (ordered(), ordered(**DRAFT), made(**BUSH, **SHARP), made(**FLAT, **OLIVE)):
        parted = printed.replace("projectionRa", "projection Ra")  # two cells, read without a space
        assert unread(parted, MODULES, [TEMPLATE], records) == set()
    assert "microscope" in unread(ordered(), ("fit/making.py",), [TEMPLATE], "")
