"""What a visit's own records make the bench sheet say, and what they must not."""

import inspect
from datetime import date

import pytest
from django.utils import timezone
from PIL import Image

from sideshake.documents.bench_sheet import bench_sheet
from sideshake.web.base.saving import save
from sideshake.web.documents import bench_papers
from sideshake.web.documents.bench_papers import bench_of
from sideshake.web.documents.hole_fits import Fits
from sideshake.web.models import Finding, Photograph, PlanStep, Watch, the_workshop
from sideshake.web.visits.queries import whole_visit
from tests.documents.sentences import Case, all_words, without_case, wordings
from tests.documents.test_every_bench_sentence import fit_of

DAY = date(2026, 3, 30)
TO_MEASURE = ("Hole, long axis Hole, short axis", "Pivot Endshake")
"""As read from the two columns of boxes."""
PAINT = "Do not scrape or blow, and open the case only when it must be open"
"""Said of a watch that may bear radium and of no other: tests/web/documents/test_read_again.py."""
STEPS = ("Dial off", "Lift it level.", "Mind: Its feet bend.")


@pytest.fixture
def planned(visit, colleague):
    """A visit with one step of work in its plan."""
    the_workshop()
    step = PlanStep(visit=visit, place=1, title="Dial off", how="Lift it level.",
                    caution="Its feet bend.", kind=PlanStep.Kind.WORK)  # fmt: skip
    save(step, colleague)
    return step


def printed(visit, *holes) -> str:
    return all_words(bench_sheet(bench_of(whole_visit(visit.number), Fits(holes=holes), day=DAY)))


def test_what_is_to_be_measured_stands_where_no_fit_says_it_better(planned, colleague):
    planned.key = "option-train-bearing"
    save(planned, colleague)
    bare, fitted = printed(planned.visit), printed(planned.visit, fit_of())
    for sentence in TO_MEASURE:
        assert sentence in bare
        assert sentence not in fitted


WAY = "The way, the sizes and what to mind stand at the hole above."


@pytest.mark.parametrize("key", ["option-jewel-above", "option-bush-below", "option-barrel"])
def test_the_way_to_a_hole_is_told_once_where_its_fit_stands_on_the_sheet(planned, key):
    PlanStep.objects.update(key=key)
    fitted, bare = printed(planned.visit, fit_of()), printed(planned.visit)
    assert WAY in fitted
    assert WAY not in bare
    for words in ("Lift it level.", "Its feet bend."):
        assert words not in fitted
        assert words in bare


@pytest.mark.parametrize(
    ("told", "is_asked"),
    [
        ({"key": "option-barrel"}, True),
        ({"key": "option-barrel", "done_at": timezone.now()}, False),
        ({"key": "option-crystal"}, False),
        ({"key": "train-bearing"}, False),
    ],
)
def test_nothing_is_to_be_measured_where_no_bearing_is_worked_on(planned, told, is_asked):
    PlanStep.objects.update(**told)
    said = printed(planned.visit)
    assert ("Measured" in said) is is_asked
    assert all((sentence in said) is is_asked for sentence in TO_MEASURE)


def test_a_hole_whose_fit_cannot_be_reckoned_is_measured(planned):
    visit = whole_visit(planned.visit.number)
    assert bench_of(visit, Fits(lacking=("the fit",)), day=DAY).to_note
    assert not bench_of(visit, Fits(), day=DAY).to_note


def test_the_numbers_of_movement_and_case_stand_at_the_head_where_they_are_known(planned):
    assert "number" not in printed(planned.visit)
    Watch.objects.update(movement_serial="40312")
    assert "Movement number 40312" in printed(planned.visit)
    assert "Case number" not in printed(planned.visit)
    Watch.objects.update(case_serial="77 120")
    assert "Movement number 40312 Case number 77 120" in printed(planned.visit)


def test_a_step_of_work_stands_on_the_sheet_and_a_test_does_not(planned, colleague):
    assert all(words in printed(planned.visit, fit_of()) for words in STEPS)
    planned.kind = PlanStep.Kind.TEST
    save(planned, colleague)
    said = printed(planned.visit, fit_of())
    assert not any(words in said for words in STEPS)


LOST = "Teeth 12 and 13 of 31 are missing."


@pytest.fixture
def ring(planned, data):
    """A finding of teeth lost from a date ring, with the photograph in which they were counted."""
    (data / "files" / "photographs").mkdir(parents=True)
    Image.new("RGB", (40, 30), "#c9b48a").save(data / "files" / "photographs" / "a.jpg")
    photograph = Photograph.objects.create(
        visit=planned.visit, stored="a.jpg", sha256="a", format="JPEG", bytes=9,
        width_px=40, height_px=30,
    )  # fmt: skip
    return Finding.objects.create(
        visit=planned.visit, key="calendar-teeth-lost", title="Date ring: teeth lost",
        detail=LOST, photograph=photograph,
    )  # fmt: skip


def sheet_of(visit):
    return bench_sheet(bench_of(whole_visit(visit.number), Fits(holes=()), day=DAY))


def test_teeth_lost_are_told_by_number_with_their_photograph_once(ring):
    said = sheet_of(ring.visit)
    assert all_words(said).count(LOST) == 1
    assert [name for name in said.pictures if name.endswith(".jpg")] == [
        f"photograph-{ring.photograph_id}.jpg"
    ]
    Finding.objects.create(
        visit=ring.visit, key="wheel-teeth-lost", title="Third wheel: teeth lost",
        detail="Tooth 4 of 75 is missing.", photograph=ring.photograph,
    )  # fmt: skip
    both = bench_of(whole_visit(ring.visit.number), Fits(holes=()), day=DAY).lost_teeth
    assert [each.picture is not None for each in both] == [True, False]


@pytest.mark.parametrize(
    "other",
    [
        {"mended": True},
        {"detail": "It sheds some."},
        {"key": "date-late"},
    ],
)
def test_teeth_put_right_or_told_without_a_number_are_not_on_the_sheet(ring, other):
    Finding.objects.update(**other)
    said = sheet_of(ring.visit)
    assert "teeth lost" not in all_words(said)
    assert not said.pictures


def test_every_wording_that_records_make_has_its_case():
    found = wordings(inspect.getsource(bench_papers), unprinted=("labels_of",))
    assert found
    assert (
        without_case(found, tuple(Case(each, str, str) for each in (*TO_MEASURE, PAINT, WAY)))
        == set()
    )
