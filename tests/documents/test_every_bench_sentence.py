"""Each sentence of the bench sheet: the record that makes it, and one that must not.

The last test reads the words in the template and in the modules whose words stand on the sheet: a
wording that no case makes fails it, so a new sentence comes with its case and its counter-case.
"""

from functools import cache

import pytest

from sideshake.command.measured import measurements_at
from sideshake.core.quantities import Measured
from sideshake.documents.bench_sheet import BenchSheet, LostTeeth, SheetJob, bench_sheet
from sideshake.documents.glyphs import printed
from sideshake.documents.hole_fit import HoleFit, ToNote, hole_fit
from sideshake.fit.materials import BRASS, BRASS_SOFT, BRONZE, NICKEL_SILVER, RUBY, STEEL
from sideshake.fit.workshop import Stock, WorkshopTools
from sideshake.movement.sheet_file import sheet_at
from sideshake.wear.measurements import bench as laid_out
from sideshake.wear.verdict import BearingPlace
from sideshake.workshop_rules.repair import Lying, repair
from tests.documents.conftest import DAY, HEAD, REAMERS_MM
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

JOB = SheetJob(title="Dial off", how="Lift it level.", caution="Its feet bend.")
ABOVE, BELOW = BearingPlace.ABOVE, BearingPlace.BELOW


def fit_of(place=ABOVE, *, made_of=RUBY, tools=None, at_hand=(), endshake=None, **sizes) -> HoleFit:
    """The fit of the shipped leaning barrel; `sizes` of the bearing lie over those measured."""
    wanted = sizes.pop("wanted", None)
    changes = {f"{place.value}.{key}": value for key, value in sizes.items()}
    found = measurements_at("leaning-barrel", {**changes, "barrel.endshake_wanted_mm": wanted})
    calibre = sheet_at("tarnbrook-31")
    lying = Lying(calibre=calibre, found=found, bench=laid_out(calibre, found))
    tools = WorkshopTools(reamers_mm=REAMERS_MM) if tools is None else tools
    made = repair(lying, place, made_of=made_of, tools=tools, reference="2026-014")
    return hole_fit(made, in_drawer_mm=at_hand, endshake_mm=endshake)


@cache
def read(told: BenchSheet) -> str:
    return all_words(bench_sheet(told))


def sheeted(*, jobs=(JOB,), holes=(), **more) -> str:
    usual = {"visit": "2026-014", "watch": "Hunter", "calibre": "Tarnbrook 31"}
    return read(BenchSheet(head=HEAD, day=DAY, jobs=jobs, holes=holes, **{**usual, **more}))


def fitted(place=ABOVE, **more) -> str:
    return sheeted(holes=(fit_of(place, **more),), jobs=())


MANY = (JOB,) * 40
LOST = LostTeeth(title="Date ring: teeth lost", words="Teeth 12 and 13 of 31 are missing.")
SHEET = by(
    sheeted,
    ("Visit 2026-014", {}, {"visit": "2026-015"}),
    ("Calibre Tarnbrook 31", {}, {"calibre": ""}),
    ("Movement number 40312", {"movement_number": "40312"}, {}),
    ("Case number 77 120", {"case_number": "77 120"}, {}),
    ("As of 25 November 2026", {"written": "25 November 2026"}, {}),
    ("Bench sheet: Hunter", {}, {"watch": "Repeater"}),
    ("· visit 2026-014 · for the bench, not for the owner · lengths in mm · ± is the 95 % interval",
     {}, {"visit": "2026-015"}),
    ("Care Mainspring let down and the click held before any bridge is loosened.", {},
     {"holes": (fit_of(),)}),
    ("Eye protection at reamer and lathe.", {}, {"holes": (fit_of(),)}),
    ("Read the safety data sheets; the law where you work comes first.", {},
     {"holes": (fit_of(),)}),
    ("In this order Dial off", {}, {"jobs": (), "holes": (fit_of(),)}),
    ("Lift it level.", {}, {"jobs": MANY}),
    ("Mind: Its feet bend.", {}, {"jobs": (SheetJob(title="Dial off"),)}),
    ("Measured Rim 2.1", {"to_note": (ToNote(what="Rim", expected="2.1"),)}, {}),
    ("Date ring: teeth lost Teeth 12 and 13 of 31 are missing.", {"lost_teeth": (LOST,)}, {}),
    ("As for the hole before, but:", {"holes": (fit_of(), fit_of(BELOW))},
     {"holes": (fit_of(),)}),
)  # fmt: skip
METALS = by(
    fitted,
    ("Hole above (bridge): ruby jewel 0.920", {}, {"made_of": BRONZE}),
    ("Hole below (plate): ruby jewel", {"place": BELOW}, {}),
    ("phosphor bronze bush", {"made_of": BRONZE}, {}),
    ("nickel silver bush", {"made_of": NICKEL_SILVER}, {}),
    ("hard brass bush", {"made_of": BRASS}, {"made_of": STEEL}),
    ("half-hard brass bush", {"made_of": BRASS_SOFT}, {"made_of": BRASS}),
    ("steel bush", {"made_of": STEEL}, {}),
    ("Bush opened to 0.920", {"made_of": BRONZE}, {}),
    ("Its hole, pressed in 0.91", {}, {"made_of": BRONZE}),
    ("Check the play with the pivot; a jewel is not opened by hand.", {}, {"made_of": BRONZE}),
    ("Open the bush, which pressing has closed, to 0.920 mm and burnish it.", {"made_of": BRONZE},
     {}),
    ("A jewel pressed askew chips: stop at the first resistance and start it square again.", {},
     {"made_of": BRONZE}),
    ("A jewel where there was none changes the watch: agree it with the owner and note it.", {},
     {"made_of": BRONZE}),
    ("The new part in the bridge", {}, {"place": BELOW}),
    ("Section through the plate with the part of 1.50 mm in place, and from above the hole as it "
     "is and each reamer, 20:1.", {"place": BELOW}, {}),
)  # fmt: skip
TENTHS, LOOSE = (1.05, 1.15, 1.25, 1.35, 1.45), 0.05
BOX = {"outside_mm": 1.5, "hole_mm": 0.92, "thickness_mm": 0.6}
SMALL = {"place": BELOW, "hole_mm": 0.45, "pivot_mm": "0.405+-0.002", "tools": WorkshopTools()}
FLUSH, PROUD = {"depth_mm": 0.03, "wanted": 0.03}, {"depth_mm": 0.01, "wanted": 0.03}
FITS = by(
    fitted,
    ("; made to order", {}, {"tools": WorkshopTools(drawer=(Stock(**BOX),))}),
    ("; drawer", {"tools": WorkshopTools(drawer=(Stock(**BOX),))}, {}),
    ("; standard series", SMALL, {}),
    ("(more than 99 %)", {}, {"pivot_mm": "0.896+-0.020"}),
    ("(less than 1 %)", {"tools": WorkshopTools(reamers_mm=TENTHS, under_mm=LOOSE)}, {}),
    ("mm; all missing, get them before you begin", {}, {"at_hand": REAMERS_MM}),
    ("1.49 mm; missing, get these before you begin: 1.09", {"at_hand": REAMERS_MM[1:]},
     {"at_hand": REAMERS_MM}),
    ("Ream upright, lightly, with cutting fluid: in steps of a tenth at most, the last under the "
     "part's diameter (no reamers listed).", {"tools": WorkshopTools()}, {}),
    ("1.09 (large cut: bore it first), 1.19", {"place": BELOW}, {}),
    ("The old hole is oval by 0.076 mm: its middle has moved by up to 0.038 mm, and a reamer "
     "guided by it would follow the wear.", {}, {"place": BELOW}),
    ("The old hole measures round: it may guide the first reamer. Measured one way only, measure "
     "it crosswise first.", {"place": BELOW}, {}),
    ("Hold the part true on the lathe's face plate, centre it with a wobble stick on the unworn "
     "hole opposite, and bore before reaming.", {}, {"passes_through": False}),
    ("Guide by the untouched part of the sink or counterbore, or centre on the unworn hole "
     "opposite, and bore before reaming.", {"passes_through": False}, {}),
    ("Press to flush with the inner surface", {}, FLUSH),
    ("Press to 0.015 mm below the inner surface", FLUSH, {}),
    ("0.005 mm above the inner surface: not flush, so set the endshake at the other bearing or the "
     "shoulder instead", PROUD, FLUSH),
    ("Endshake after 0.03", {"endshake": Measured(0.03)}, {}),
    ("Hole after 1.09 1.092 to 1.095", {}, {"tools": WorkshopTools()}),
)  # fmt: skip
NO_HOLE = {"holes": (), "jobs": (JOB,)}
WITH_A_HOLE = by(
    sheeted,
    *((words, {"holes": (fit_of(),)}, NO_HOLE) for words in (
        "Let the mainspring down, under control, before the bridge comes off.",
        "Wear eye protection: chips of ruby and swarf fly.",
        "Try the reamer, the stop and the jewel on a practice plate of the same metal first.",
        "Hold the swarf back from train and setting work; peg out every hole and wash the part.",
        "Information only: follow the safety sheets and the rules where you work.",
        "Now pivot 0.896 ± 0.004 mm in a hole of up to 1.012 mm",
        "Part hole Ø 0.920 JS6 (±0.003), outside Ø 1.500 js6 (±0.003)",
        "Interference 0.007 ± 0.004 mm expected, as a reamer cuts 0.002 to 0.005 over its size; "
        "sound: 0.003 to 0.012 (97 %)",
        "Play after 0.017 to 0.033 mm wanted",
        "Let the power down; measure and note the old depth and the endshake; take the part off.",
        "True up the pivot first: polish or burnish it, then measure it again.",
        "Take the burr off, chamfer the entry side very slightly, wash.",
        "Press the part in from the inner side, the chamfered edge enters first, against the stop:",
        "Fit the arbor alone, then the barrel: try endshake, side shake and the rim with pegwood.",
        "Part, outside 1.497 to 1.503",
        "Outside minus hole 0.003 to 0.012",
        "Face below the surface 0.000 to 0.020",
        "Side shake after 0.017 to 0.033",
        "barrel side",
        "from above; fine: the reamers; broken: the old hole",
    )),
)  # fmt: skip
CASES = (*SHEET, *METALS, *FITS, *WITH_A_HOLE)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.sentence[:60])
def test_a_sentence_stands_where_a_record_makes_it_and_nowhere_else(case):
    sentence = printed(case.sentence)
    assert sentence in case.made()
    assert sentence not in case.not_made()


MODULES = (
    "documents/bench_sheet.py", "documents/hole_fit.py", "fit/tooling.py", "fit/jewel.py",
    "fit/materials.py", "drawings/seat.py", "wear/rubbing.py",
)  # fmt: skip
ON_A_PAGE = ("play_parts", "interference_chance")
"""Functions whose words stand on a page, not on the sheet."""
TEMPLATE = "bench_sheet.typ"


@pytest.mark.parametrize("module", MODULES)
def test_every_wording_of_the_bench_sheet_has_its_case(module):
    found = wordings((SOURCE / module).read_text(), unprinted=ON_A_PAGE)
    assert found
    assert without_case(found, CASES) == set()


def test_every_wording_of_its_template_has_its_case():
    found = template_wordings(template(TEMPLATE))
    assert len(found) >= 10
    assert without_case(found, CASES) == set()


def test_no_word_of_the_sheet_comes_from_a_module_that_is_not_read_here():
    records = f"{JOB} {HEAD} Hunter Tarnbrook"
    for sheet in (sheeted(), fitted(), fitted(BELOW, made_of=BRONZE), fitted(**PROUD)):
        assert unread(sheet, (*MODULES, "fit/shape.py"), [TEMPLATE], records) == set()
    assert "flush" in unread(fitted(), ("documents/bench_sheet.py",), [TEMPLATE], records)
