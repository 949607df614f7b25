import doctest
import runpy
import xml.etree.ElementTree as ET
from pathlib import Path

from sideshake.timing.diagnosis.causes import CauseKind
from sideshake.timing.positions.summary import Position

DOCS = Path(__file__).parents[3] / "docs"
PAGE = (DOCS / "positions.md").read_text(encoding="utf-8")


def test_the_example_on_the_page_prints_what_it_says():
    block = PAGE.split("```python\n")[1].split("```")[0]
    example = doctest.DocTestParser().get_doctest(block, {}, "docs/positions.md", None, 0)
    flags = doctest.NORMALIZE_WHITESPACE
    assert doctest.DocTestRunner(verbose=False, optionflags=flags).run(example).failed == 0
    assert len(example.examples) > 10


def test_every_position_and_every_cause_is_on_the_page():
    for each in Position:
        assert f"| {each.value} | {each.words} |" in PAGE
    for kind in CauseKind:
        assert f"| {kind.value} |" in PAGE


def words(svg):
    """Return what is written in a picture; where it stands depends on the fonts at hand."""
    return [each.text for each in ET.fromstring(svg).iter() if each.text and each.text.strip()]


def test_the_picture_on_the_page_is_made_by_its_script():
    made = runpy.run_path(str(DOCS / "pictures" / "make_positions_picture.py"))["picture"]()
    kept = (DOCS / "pictures" / "positions.svg").read_text(encoding="utf-8")
    assert words(made) == words(kept)
    assert "before the work" in " ".join(words(kept))
