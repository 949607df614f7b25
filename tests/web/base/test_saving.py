"""One way to write: versions, history, search text."""

from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from sideshake.web.base.saving import EditConflict, folded, remove, remove_for_good, save
from sideshake.web.models import Change, Finding, Visit, VisitText


def test_the_second_of_two_people_is_told_and_nothing_is_overwritten(
    visit, owner_of_workshop, colleague
):
    first, second = Visit.objects.get(pk=visit.pk), Visit.objects.get(pk=visit.pk)
    first.complaint = "stops in the night"
    save(first, owner_of_workshop)
    second.complaint = "gains"
    with pytest.raises(EditConflict, match="the owner has changed this meanwhile"):
        save(second, colleague)
    assert Visit.objects.get(pk=visit.pk).complaint == "stops in the night"


def test_the_version_that_was_seen_counts_and_not_the_one_read_just_now(visit, colleague):
    seen = visit.version
    visit.complaint = "stops"
    save(visit, colleague)
    fresh = Visit.objects.get(pk=visit.pk)
    fresh.complaint = "gains"
    with pytest.raises(EditConflict):
        save(fresh, colleague, seen=seen)


def test_history_tells_who_changed_what_from_what_to_what(visit, colleague):
    visit.complaint = "stops in the night"
    save(visit, colleague)
    newest = Change.objects.filter(visit=visit).first()
    assert newest.by == colleague
    assert newest.fields == {"complaint": ["", "stops in the night"]}


@pytest.mark.parametrize(
    ("amount", "told"), [("1700", "1700"), ("1.7E+3", "1700"), ("0.050", "0.05"), ("0", "0")]
)
def test_history_writes_amounts_without_an_exponent(visit, colleague, amount, told):
    visit.declared_value = Decimal(amount)
    save(visit, colleague)
    newest = Change.objects.filter(visit=visit).first()
    assert newest.fields == {"declared_value": [None, told]}


def test_saving_without_a_change_tells_nothing(visit, colleague):
    before = Change.objects.count()
    save(visit, colleague)
    assert Change.objects.count() == before


def test_history_keeps_what_was_removed(visit, colleague):
    finding = Finding(visit=visit, title="hole gone oval")
    save(finding, colleague)
    remove(finding, colleague)
    assert not Finding.objects.exists()
    newest = Change.objects.filter(visit=visit).first()
    assert newest.fields["title"] == ["hole gone oval", None]


def test_words_of_a_finding_are_found_at_its_visit(visit, colleague):
    save(Finding(visit=visit, title="Rückerstift verbogen"), colleague)
    assert "ruckerstift" in VisitText.objects.get(visit=visit).folded


def test_folding_takes_accents_and_capitals_away():
    assert folded("Déjà Vu  ÅÖ") == "deja vu ao"


def test_what_is_removed_for_good_leaves_a_line_and_nothing_to_take_back(visit, colleague):
    finding = Finding(visit=visit, title="oil dried")
    save(finding, colleague)
    with CaptureQueriesContext(connection) as asked:
        remove_for_good(finding, colleague, what="threw it away")
    assert not any("bench_removed" in each["sql"] for each in asked)
    assert not Finding.objects.exists()
    assert Change.objects.latest("pk").what == "threw it away"
    assert "dried" not in VisitText.objects.get(visit=visit).folded
    count = Change.objects.count()
    remove_for_good(finding, colleague)  # it is gone already
    assert Change.objects.count() == count


def test_what_somebody_else_has_changed_is_not_removed_for_good(visit, colleague):
    finding = Finding(visit=visit, title="oil dried")
    save(finding, colleague)
    with pytest.raises(EditConflict):
        remove_for_good(finding, colleague, seen=finding.version + 1)
    assert Finding.objects.exists()
