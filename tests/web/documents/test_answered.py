"""What the owner told us of the watch is answered, by findings and by work that was ticked."""

from datetime import date

import pytest
from django.utils import timezone

from sideshake.documents.page import block_html
from sideshake.documents.report import report
from sideshake.web.base.saving import save
from sideshake.web.documents.report import report_of
from sideshake.web.models import Finding, PlanStep
from sideshake.web.visits.queries import whole_visit

ASKED = "an answer to “Stops in the night.”: tick at a finding that it is the cause"
PUT_RIGHT = "whether “Mainspring tired” is put right"


@pytest.fixture
def stopping(visit, colleague):
    """A visit that is ready, apart and together again, its mainspring found tired."""
    visit.complaint, visit.step = "Stops in the night.", "ready"
    save(visit, colleague)
    found(visit, colleague, "mainspring-set", "Mainspring tired")
    for key in ("take-apart", "clean", "assemble"):
        step(visit, colleague, key)
    return visit


def found(visit, by, key, title, **more) -> Finding:
    row = Finding(visit=visit, key=key, title=title, **more)
    save(row, by)
    return row


def step(visit, by, key, title="", *, kind="work", **more):
    row = PlanStep(visit=visit, key=key, title=title or key, place=visit.plan.count(), kind=kind,
                   done_at=timezone.now(), done_by=by, **more)  # fmt: skip
    save(row, by)


def marked(visit, by, **more) -> None:
    row = visit.findings.get(key="mainspring-set")
    for name, value in {"is_cause": True, **more}.items():
        setattr(row, name, value)
    save(row, by)


def told(visit):
    made = report_of(whole_visit(visit.number), day=date(2026, 11, 30))
    said = " ".join("".join(map(block_html, report(made).blocks)).split())
    return said, report(made).gaps


def test_where_nothing_answers_it_nothing_is_claimed_and_the_restorer_is_asked(stopping, colleague):
    said, gaps = told(stopping)
    assert "The cause we found" not in said
    assert "Stops in the night." in said  # as it was told
    assert ASKED in gaps
    marked(stopping, colleague)
    said, gaps = told(stopping)
    assert "You told us: “Stops in the night.” The cause we found: Mainspring tired." in said
    assert said.count("Stops in the night.") == 1
    assert ASKED not in gaps
    assert "ut right" not in said
    assert PUT_RIGHT in gaps


def test_of_a_watch_that_nobody_looked_over_nothing_is_asked_yet(visit, colleague):
    visit.complaint = "Stops in the night."
    save(visit, colleague)
    assert ASKED not in told(visit)[1]


def test_where_the_owner_told_nothing_nothing_is_answered(stopping, colleague):
    marked(stopping, colleague, mended=True)
    stopping.complaint = ""
    save(stopping, colleague)
    said, gaps = told(stopping)
    assert "The cause we found" not in said
    assert not [each for each in gaps if each.startswith(("an answer", "whether"))]


def test_it_is_put_right_by_the_work_that_was_ticked_and_measured(stopping, colleague):
    marked(stopping, colleague, mended=True)
    assert "The cause we found: Mainspring tired. It is put right." in told(stopping)[0]
    step(stopping, colleague, "option-mainspring", "New mainspring")
    step(stopping, colleague, "option-crystal", "New crystal")
    step(stopping, colleague, "test-reserve", "Power reserve", kind="test", unit="h", value=53.0,
         u=0.2, result="good")  # fmt: skip
    said, gaps = told(stopping)
    whole = "Mainspring tired. Put right: New mainspring. Power reserve: 53.0 ± 0.4 h."
    assert whole in said
    assert "New mainspring. Power reserve: 53.0 ± 0.4 h. New crystal" not in said
    assert PUT_RIGHT not in gaps


def test_it_is_not_called_put_right_where_its_test_was_not_good(stopping, colleague):
    marked(stopping, colleague, mended=True)
    step(stopping, colleague, "option-mainspring", "New mainspring")
    step(stopping, colleague, "test-reserve", "Power reserve", kind="test", unit="h", value=31.0,
         u=0.2, result="bad")  # fmt: skip
    said = told(stopping)[0]
    assert "Mainspring tired. Done about it: New mainspring. Power reserve: 31.0 ± 0.4 h." in said
    assert "ut right" not in said


def test_work_that_was_not_ticked_or_answers_something_else_is_not_told(stopping, colleague):
    marked(stopping, colleague)
    step(stopping, colleague, "option-hands", "Hands fitted")
    save(PlanStep(visit=stopping, key="option-mainspring", title="New mainspring", place=99),
         colleague)  # fmt: skip
    said = told(stopping)[0]
    assert "The cause we found: Mainspring tired.</p>" in said


def test_an_overhaul_answers_dried_oil_and_a_new_jewel_the_barrel_s_hole(stopping, colleague):
    found(stopping, colleague, "oil-dried", "Oil dried", is_cause=True, mended=True)
    found(stopping, colleague, "barrel-hole-worn", "Hole oval", is_cause=True, mended=True)
    step(stopping, colleague, "option-jewel-above", "Jewel in the bridge")
    said = told(stopping)[0]
    assert "The causes we found:" in said
    assert "Oil dried. Put right: Movement taken apart, cleaned, put together and oiled." in said
    assert "Hole oval. Put right: Jewel in the bridge." in said


def test_the_restorer_ticks_it_at_the_finding_and_sees_it_there(client, stopping):
    row = stopping.findings.get()
    words = "the cause of what the owner told us"
    page = client.get(f"/visits/{stopping.number}/findings/").content.decode()
    assert words not in page
    typed = {"title": row.title, "detail": "", "severity": "worn", "is_cause": "on",
             "seen": row.version}  # fmt: skip
    assert client.post(f"/findings/{row.pk}/", typed).status_code == 302
    row.refresh_from_db()
    assert row.is_cause
    for address in (f"/visits/{stopping.number}/findings/", f"/visits/{stopping.number}/"):
        assert words in client.get(address).content.decode()
