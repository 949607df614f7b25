import re
import tomllib
from importlib.resources import files

import pytest

from sideshake.drawings.free_body import FreeBody, arrows, free_body_drawing
from sideshake.drawings.shapes import Text
from sideshake.drawings.svg import svg_text
from sideshake.movement.sheet_file import shipped_sheet
from sideshake.wear.measurements import Measurements, bench

EXAMPLE = files("sideshake.wear") / "examples" / "leaning-barrel.toml"


def view(**directions):
    written = tomllib.loads(EXAMPLE.read_text(encoding="utf-8"))
    written["directions"] |= directions
    case = bench(shipped_sheet("tarnbrook-31"), Measurements.model_validate(written)).case
    return FreeBody(
        title="What loads the arbor",
        barrel=case.barrel,
        stances=(("under way", case.running), ("while it is wound", case.winding)),
    )


@pytest.mark.parametrize("click_deg", [0, 100, 300])
def test_the_forces_drawn_and_their_moments_are_nothing_together(click_deg):
    seen = view(click_deg=click_deg)
    span = seen.barrel.arbor.span_mm.value
    for _, stance in seen.stances:
        heights = {each.name: each.height_mm.value for each in stance.pushes}
        heights |= {"from the bridge": span, "from the plate": 0.0}
        found = arrows(seen.barrel, stance)
        assert sum(each.force for each in found) == pytest.approx(0.0, abs=1e-9)
        assert sum(each.force * heights[each.name] for each in found) == pytest.approx(0, abs=1e-9)


def test_what_was_not_known_is_named_on_the_sheet_and_only_then():
    def words(seen):
        return " ".join(
            each.words for each in free_body_drawing(seen).shapes if isinstance(each, Text)
        )

    assert "all click directions" in words(view())
    assert "Not known" not in words(view(click_deg=300))


def test_the_forces_are_told_to_those_who_cannot_see_them():
    drawing = free_body_drawing(view(click_deg=300))
    # 5.6 cos 15 / 4.2 of the mesh's force
    assert "click 1.29 towards 210°" in drawing.description
    assert "crown wheel 1.33 towards 95°" in drawing.description


@pytest.mark.parametrize("click_deg", range(0, 360, 45))
def test_everything_lies_on_the_sheet(click_deg):
    drawing = free_body_drawing(view(click_deg=click_deg))
    numbers = re.findall(r'points="([^"]+)"', svg_text(drawing))
    points = [tuple(map(float, pair.split(","))) for row in numbers for pair in row.split()]
    assert all(0 <= x <= drawing.width and 0 <= y <= drawing.height for x, y in points)
