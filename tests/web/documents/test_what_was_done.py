"""What a report tells of the work: only what was ticked as done, with what was measured."""

from datetime import date

import pytest
from django.utils import timezone
from heard_rounds import hear

from sideshake.documents.page import block_html
from sideshake.documents.report import report
from sideshake.web.base.saving import save
from sideshake.web.documents.report import report_of
from sideshake.web.models import (
    Batch,
    Finding,
    Item,
    Measurement,
    Option,
    Photograph,
    PlanStep,
    Proposal,
    Step,
    Used,
)
from sideshake.web.visits.queries import whole_visit

DAY = date(2026, 3, 30)


def told(visit):
    return report_of(whole_visit(visit.number), day=DAY)


def page(visit) -> str:
    return "".join(map(block_html, report(told(visit)).blocks))


@pytest.fixture
def agreed(visit, colleague):
    """A visit in which much is agreed and nothing is done."""
    proposal = Proposal(visit=visit, edition=1, currency="EUR", made_on=date(2026, 3, 3),
                        state="agreed")  # fmt: skip
    save(proposal, colleague)
    for key, title in (("chronograph", "Minute counter put right"), ("overhaul", "Overhaul")):
        save(Option(proposal=proposal, key=key, title=title, chosen=True), colleague)
    visit.step = Step.AGREED
    save(visit, colleague)
    return visit


def step(visit, by, key, title="", *, done=True, **more):
    at = timezone.now() if done else None
    row = PlanStep(visit=visit, key=key, place=visit.plan.count(), title=title or key,
                   done_at=at, done_by=by if done else None, **more)  # fmt: skip
    save(row, by)


def home_test(visit, by, key, title="", **more):
    step(visit, by, f"test-{key}", title or key, kind="test", result=more.pop("result", "good"),
         **more)  # fmt: skip


def what(visit):
    return [each.what for each in told(visit).done]


def test_what_was_agreed_is_not_told_as_done_and_the_report_is_one_of_findings(agreed):
    made = report(told(agreed))
    assert made.title.startswith("Report of findings")
    assert "Minute counter put right" not in page(agreed)
    assert "What we did" not in page(agreed)


def test_what_was_ticked_is_told_and_the_title_says_how_far_the_work_is(agreed, colleague):
    step(agreed, colleague, "option-chronograph", "Minute counter put right")
    assert what(agreed) == ["Minute counter put right"]
    assert report(told(agreed)).title.startswith("Report so far")
    agreed.step = Step.READY
    save(agreed, colleague)
    assert report(told(agreed)).title.startswith("Your watch")


def test_what_is_open_or_left_out_is_not_told(agreed, colleague):
    step(agreed, colleague, "option-chronograph", "Minute counter put right", done=False)
    step(agreed, colleague, "own-1", "Hands blued", result="skip", note="not needed")
    assert what(agreed) == []


def test_routine_steps_are_no_work_of_their_own_and_no_line_stands_twice(agreed, colleague):
    for key in ("let-down", "open-case", "dial-hands", "case-up", "final-control"):
        step(agreed, colleague, key, note="One screw tight; warmed, not forced.")
    step(agreed, colleague, "own-1", "Hands blued", note="A hair, not the owner's.")
    step(agreed, colleague, "own-2", "hands blued")
    assert "hair" not in page(agreed)  # notes of the bench stay there
    assert what(agreed) == ["Hands blued"]
    assert "screw tight" not in page(agreed)


@pytest.mark.parametrize(
    ("ticked", "line"),
    [
        (("take-apart", "clean", "assemble", "base-timing"),
         "Movement taken apart, cleaned, put together, oiled and timed"),
        (("take-apart", "clean"), "Movement taken apart and cleaned"),
        (("take-apart",), None),
        (("clean", "assemble"), None),
    ],
)  # fmt: skip
def test_an_overhaul_is_told_in_the_steps_that_were_ticked(agreed, colleague, ticked, line):
    for key in ticked:
        step(agreed, colleague, key)
    assert what(agreed) == ([line] if line else [])


def test_the_restorer_is_told_when_nothing_is_ticked_though_the_watch_is_ready(agreed, colleague):
    unticked = "any work: no step is ticked as done, so it is called a report of findings"
    assert unticked not in report(told(agreed)).gaps
    agreed.step = Step.READY
    save(agreed, colleague)
    assert unticked in report(told(agreed)).gaps
    step(agreed, colleague, "own-1", "Hands blued")
    assert unticked not in report(told(agreed)).gaps


def test_a_job_is_told_with_its_measured_test_and_without_one_the_restorer_is(agreed, colleague):
    agreed.step = Step.READY
    save(agreed, colleague)
    step(agreed, colleague, "option-mainspring", "New mainspring")
    assert told(agreed).done[0].measured == ""
    assert "what was measured of “New mainspring”" in report(told(agreed)).gaps
    home_test(agreed, colleague, "reserve", "Power reserve", value=52.0, u=0.15, unit="h")
    assert told(agreed).done[0].measured == "Power reserve: 52.0 ± 0.3 h"
    assert "what was measured of “New mainspring”" not in report(told(agreed)).gaps


def sizes(visit, by, *rows):
    for key, value, after in rows:
        save(Measurement(visit=visit, key=key, value=value, u=0.003, after=after), by)


OVAL = (("above.hole_long_mm", 1.012, False), ("above.hole_short_mm", 0.936, False),
        ("above.pivot_mm", 0.896, False))  # fmt: skip


def test_a_new_hole_is_told_with_its_size_and_drawn_beside_the_oval_one(agreed, colleague):
    step(agreed, colleague, "option-jewel-above", "A jewel for the bridge")
    sizes(agreed, colleague, *OVAL)
    assert told(agreed).done[0].measured == ""
    assert not told(agreed).proof.pictures
    sizes(agreed, colleague, ("above.hole_mm", 0.921, True))
    assert "0.921 ± 0.006 mm" in told(agreed).done[0].measured
    (picture,) = told(agreed).proof.pictures
    assert "Before: oval: 1.012 ± 0.006" in picture.alt
    (size,) = told(agreed).proof.sizes
    assert size.before == "1.012 ± 0.006 by 0.936 ± 0.006 mm"


def test_no_old_part_comes_back_from_a_hole_that_had_none(agreed, colleague):
    def old_parts():
        return [each.old_part for each in told(agreed).parts]

    jewel = use(agreed, colleague, "jewel", "Barrel jewel")
    assert old_parts() == ["comes back to you"]
    step(agreed, colleague, "option-jewel-above", "A jewel for the bridge", done=False)
    sizes(agreed, colleague, *OVAL)
    assert old_parts() == ["comes back to you"]  # nobody ticked it
    agreed.plan.all().delete()
    step(agreed, colleague, "option-jewel-above", "A jewel for the bridge")
    assert old_parts() == ["there was none"]
    spring = use(agreed, colleague, "spring", "Mainspring")
    assert old_parts() == ["there was none", "comes back to you"]
    spring.delete()
    other = use(agreed, colleague, "jewel", "Balance jewel")  # one of two: which is not recorded
    assert old_parts() == ["comes back to you"] * 2
    other.delete()
    short = agreed.measurements.get(key="above.hole_short_mm")
    short.value = 1.0  # round, as a jewel's is
    save(short, colleague)
    assert old_parts() == ["comes back to you"]
    jewel.old_part = "none"
    save(jewel, colleague)
    assert old_parts() == ["there was none"]


def test_no_old_part_comes_back_from_either_of_two_holes_made_in_one_step(agreed, colleague):
    """Both holes have one option: suggest.bearing_option names them in its key."""
    step(agreed, colleague, "option-jewel-below-above", "Jewels for bridge and plate")
    sizes(agreed, colleague, *OVAL, ("below.hole_long_mm", 1.012, False),
          ("below.hole_short_mm", 0.936, False))  # fmt: skip
    for name in ("Barrel jewel, bridge", "Barrel jewel, plate"):
        use(agreed, colleague, "jewel", name)
    assert [each.old_part for each in told(agreed).parts] == ["there was none"] * 2


def use(visit, by, kind, name):
    item = Item(name=name, kind=kind)
    save(item, by)
    batch = Batch(item=item, origin="made", received_on=DAY, quantity=1)
    save(batch, by)
    used = Used(visit=visit, batch=batch, on=DAY, old_part="returned")
    save(used, by)
    return used


def test_water_is_tight_only_if_it_was_agreed_done_and_measured(agreed, colleague):
    home_test(agreed, colleague, "pressure", unit="bar")
    assert told(agreed).proof.water == ""  # no pressure, and nobody agreed to it
    step(agreed, colleague, "pressure-test", "Pressure test as agreed")
    assert told(agreed).proof.water == ""  # agreed, and still no pressure
    test = agreed.plan.get(key="test-pressure")
    test.value, test.note = 3.0, "dry"
    save(test, colleague)
    assert told(agreed).proof.water == "tight at 3 bar, dry"
    assert "Water test" in page(agreed)
    test.result = "bad"
    save(test, colleague)
    assert told(agreed).proof.water == "not tight at 3 bar, dry"


def test_the_list_of_tests_holds_only_what_counts(agreed, colleague):
    home_test(agreed, colleague, "reserve", value=31.0, unit="h")  # the sheet asks 50
    home_test(agreed, colleague, "rate-full", unit="s/day")  # good without a value
    home_test(agreed, colleague, "hands", "Hands")
    home_test(agreed, colleague, "pressure", value=3.0, unit="bar")  # never agreed
    rows = [(each.title, each.says) for each in told(agreed).proof.tests]
    assert rows == [
        ("reserve", "not good"),
        ("Hands", "in order; looked at by the workshop, no figure"),
    ]


ITS_NAME = "the name of who looked at it in the tests: set first and last name at People"


def test_who_looked_is_told_by_name_and_the_restorer_is_asked_for_one(agreed, colleague):
    home_test(agreed, colleague, "reserve", value=51.0, unit="h")
    assert ITS_NAME not in told(agreed).missing  # nobody needs to be named
    home_test(agreed, colleague, "hands", "Hands")
    assert ITS_NAME in told(agreed).missing
    assert "looked at by the workshop, no figure" in page(agreed)
    colleague.first_name = "Edda"
    colleague.save()
    assert ITS_NAME not in told(agreed).missing
    assert "looked at by Edda, no figure" in page(agreed)


def test_a_test_left_out_whose_figure_was_heard_is_told_with_it(agreed, colleague):
    def rows():
        return [(each.title, each.value, each.says) for each in told(agreed).proof.tests]

    home_test(agreed, colleague, "amplitude-full", "Lying", unit="°", result="skip", note="busy")
    hear(agreed, colleague, "CH", 6.0, 270)
    hear(agreed, colleague, "FH", 6.0, 280)
    assert rows() == [("Lying", "", "left out: busy")]  # heard before the work only
    hear(agreed, colleague, "CH", 6.0, 270, after=True)
    assert rows() == [("Lying", "", "left out: busy")]  # one of two lying positions
    hear(agreed, colleague, "FH", 6.0, 280, after=True)
    ((_, value, says),) = rows()
    assert value.startswith("275")
    assert says == "noted; no limit is set"
    assert agreed.plan.get(key="test-amplitude-full").result == "skip"  # the record stays


def test_the_report_of_the_work_names_no_step_nobody_ticked(agreed, colleague):
    hear(agreed, colleague, "CH", 6.0, 270, after=True)
    assert told(agreed).done == ()
    assert "It now" not in page(agreed)  # nothing was done: what was heard is not told as ours


def test_the_bench_s_cautions_are_not_the_owner_s(agreed, colleague):
    save(Finding(visit=agreed, key="magnetised", title="Magnetised"), colleague)
    said = page(agreed)
    for words in ("mainspring down", "Cleaning fluids", "Demagnetiser", "shellac"):
        assert words not in said
    assert "Keep it dry" in said
    assert "radium" in said  # its paint was not looked at, and its age is not known
    agreed.watch.lume = "none"
    save(agreed.watch, colleague)
    assert "radium" not in page(agreed)


def test_a_proposal_tells_of_radium_where_it_can_be_and_of_nothing_else(agreed, colleague):
    from sideshake.web.documents.proposals import offer_of

    proposal = Proposal.objects.get()
    assert [each.grave for each in offer_of(proposal).cautions] == [True]
    agreed.watch.lume = "none"
    save(agreed.watch, colleague)
    assert offer_of(Proposal.objects.get()).cautions == ()


def photograph(visit, by, caption, **more):
    row = Photograph(visit=visit, stored=f"{caption}.jpg", sha256="0", format="JPEG", bytes=1,
                     width_px=4, height_px=3, caption=caption, **more)  # fmt: skip
    save(row, by)
    return row


@pytest.fixture
def here(monkeypatch):
    """Every photograph's file is there, but that of one named gone."""
    from sideshake.documents.blocks import Picture
    from sideshake.web.documents import report as reported

    def picture(row):
        if row is None or row.caption == "gone":
            return None
        return Picture(name=f"{row.pk}.jpg", data=b"x", alt=row.caption, caption=row.caption)

    monkeypatch.setattr(reported, "picture_of", picture)


def test_the_report_opens_with_the_chosen_photograph_and_never_with_the_parcel(
    agreed, colleague, here
):
    photograph(agreed, colleague, "The parcel")
    assert told(agreed).portrait is None
    assert "a photograph to open with: choose one at its page" in report(told(agreed)).gaps
    photograph(agreed, colleague, "dial up", opens_report=True)
    assert told(agreed).portrait.caption == "dial up"


def test_no_photograph_of_a_finding_is_dropped(agreed, colleague, here):
    for number in range(7):
        row = photograph(agreed, colleague, f"photograph {number}")
        save(Finding(visit=agreed, title=f"finding {number}", photograph=row), colleague)
    save(Finding(visit=agreed, title="the same again", photograph=row), colleague)
    lost = photograph(agreed, colleague, "gone")
    save(Finding(visit=agreed, title="one more", photograph=lost), colleague)
    made = told(agreed)
    assert sum(len(each.pictures) for each in made.findings) == 7
    assert made.findings[7].detail == "See the photograph at “finding 6”."
    assert made.missing == ("the photograph of “one more”, whose file is gone",)


def test_a_report_has_one_way_of_writing_days(agreed):
    made = report(told(agreed))
    assert dict(made.cells)["Date"] == "30 March 2026"
    assert "2026-03-30" not in page(agreed)


def test_the_owner_is_told_when_not_to_set_a_day_with_its_own_finger(visit, colleague):
    for calibre, tells in (("tolvane-26", True), ("lindquell-25", False)):
        visit.watch.calibre = calibre
        save(visit.watch, colleague)
        (date_told,) = [each for each in told(visit).cautions if each.title == "Setting the date"]
        assert "Never set the date on its own" in date_told.words
        assert ("Never set the day of the week" in date_told.words) is tells
