"""What a visit's own records make the bench sheet say, and what they must not."""

import inspect
from datetime import date

import pytest

from sideshake.bench.models import PlanStep, the_workshop
from sideshake.bench.papers import work
from sideshake.bench.papers.fits import Fits
from sideshake.bench.papers.work import bench_of
from sideshake.bench.queries import whole_visit
from sideshake.bench.services.saving import save
from sideshake.paper.bench_sheet import bench_sheet
from tests.paper.sentences import Case, all_words, without_case, wordings
from tests.paper.test_every_bench_sentence import fit_of

DAY = date(2026, 3, 30)
TO_MEASURE = ("Hole, long axis Hole, short axis", "Pivot Endshake")
"""As read from the two columns of boxes."""
PAINT = "Do not scrape or blow, and open the case only when it must be open"
"""Said of a watch that may bear radium and of no other: tests/bench/papers/test_read_again.py."""
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


def test_what_is_to_be_measured_stands_where_no_fit_says_it_better(planned):
    bare, fitted = printed(planned.visit), printed(planned.visit, fit_of())
    for sentence in TO_MEASURE:
        assert sentence in bare
        assert sentence not in fitted


def test_a_step_of_work_stands_on_the_sheet_and_a_test_does_not(planned, colleague):
    assert all(words in printed(planned.visit, fit_of()) for words in STEPS)
    planned.kind = PlanStep.Kind.TEST
    save(planned, colleague)
    said = printed(planned.visit, fit_of())
    assert not any(words in said for words in STEPS)


def test_every_wording_that_records_make_has_its_case():
    found = wordings(inspect.getsource(work), unprinted=("labels_of",))
    assert found
    assert (
        without_case(found, tuple(Case(each, str, str) for each in (*TO_MEASURE, PAINT))) == set()
    )
