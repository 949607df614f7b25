import re
from pathlib import Path

import pytest

from sideshake.command.barrel import barrel
from sideshake.fit.workshop import Stock, WorkshopTools
from sideshake.wear.instruments import (
    DEPTH_GAUGE,
    DIAL,
    FEELER,
    MICROMETER,
    MICROSCOPE,
    PEGWOOD,
    PIN_GAUGES,
)
from sideshake.wear.measurements import (
    MeasuredBarrel,
    MeasuredBearing,
    Measurements,
    PartnerDirections,
)
from sideshake.wear.place_judged import PlaceStage
from sideshake.wear.place_sizes import PlaceLines
from sideshake.wear.verdict import Action
from sideshake.wear.worth import USUAL_COSTS

DOCS = Path(__file__).parents[1] / "docs"
PAGES = ("wear.md", "fit.md", "bearings.md")
WEAR, FIT, BEARINGS = ((DOCS / name).read_text(encoding="utf-8") for name in PAGES)


@pytest.mark.parametrize(
    "model", [Measurements, MeasuredBearing, MeasuredBarrel, PartnerDirections]
)
def test_every_line_of_the_measurements_is_documented(model):
    assert [name for name in model.model_fields if name not in WEAR] == []


@pytest.mark.parametrize("model", [WorkshopTools, Stock])
def test_every_line_of_the_workshop_s_file_is_documented(model):
    assert [name for name in model.model_fields if name not in FIT] == []


def test_every_line_of_a_bearing_and_every_verdict_on_one_is_documented():
    assert [name for name in PlaceLines.model_fields if f"`{name}`" not in BEARINGS] == []
    judged = BEARINGS[BEARINGS.index("## How it is judged") :]
    told = [each for each in PlaceStage if each is not PlaceStage.OPEN]
    assert [each for each in told if f"*{each}*" not in judged] == []


def test_every_verdict_is_documented():
    table = WEAR[WEAR.index("## The verdict") :]
    assert [each for each in Action if each.split()[-1] not in table] == []


def test_what_is_said_where_nothing_was_measured_is_what_the_page_quotes(capsys):
    section = WEAR[WEAR.index("## What nobody measured") : WEAR.index("What stands in for a size")]
    quoted = [line.strip() for line in section.splitlines() if line.startswith("    ")]
    pieces = [piece.strip() for line in quoted[2:] for piece in line.split("[...]")]
    barrel("tarnbrook-31")
    said = " ".join(capsys.readouterr().out.split())
    assert len(pieces) > 4
    assert [piece for piece in pieces if piece not in said] == []


def test_the_instruments_and_costs_on_the_page_are_those_reckoned_with():
    rows = [line.split("|")[1:-1] for line in WEAR.splitlines() if line.startswith("| ")]
    told = {cells[0].strip(): [cell.strip() for cell in cells] for cells in rows}
    for each in (PIN_GAUGES, MICROSCOPE, MICROMETER, FEELER, DEPTH_GAUGE, PEGWOOD, DIAL):
        row = told[each.name.removeprefix("a ")]
        assert row[2].startswith(f"{each.u_mm:g}")
        assert row[3] == f"{each.minutes:g}"
    costs = " ".join(WEAR.split())
    assert f"costs {USUAL_COSTS.needless_min:g} minutes of work (`--needless-min`)" in costs
    assert f"comes back {USUAL_COSTS.returns_min:g} (`--returns-min`" in costs


@pytest.mark.parametrize("page", [WEAR, FIT])
def test_the_python_on_the_page_runs(page):
    blocks = re.findall(r"```python\n(.*?)```", page, re.DOTALL)
    assert blocks
    for block in blocks:
        exec(compile(block, "page", "exec"), {})
