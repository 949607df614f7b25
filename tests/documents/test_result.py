"""The paragraph of result: each sentence with what makes it, and with what must not."""

import pytest

from sideshake.core.quantities import Measured
from sideshake.documents.result import FindingsSeen, Ran, Result, WorkStage, result_words

AFTER = tuple(Measured(rate, 0.2) for rate in (5.2, -3.0, 1.0, 0.0, 2.0, -5.4))
CAME = (Measured(-50.3, 2.5),)


def said(stage=WorkStage.DONE, **told) -> str:
    return result_words(Result(stage=stage, **told))


def test_the_paragraph_says_what_the_watch_does_now_and_did_when_it_came():
    """By hand: the largest rate is 5.4 and its interval 0.4, so within 6; 50.3 ± 5 is about 50."""
    now = Ran(rates_s_per_day=AFTER, running_h=Measured(46.2, 0.15))
    assert said(now=now, came=Ran(rates_s_per_day=CAME)) == (
        "It now keeps time within 6 seconds a day in all six positions and runs about 46 hours on "
        "one winding. When it came it lost about 50 seconds a day."
    )


def test_what_was_not_measured_is_not_said():
    assert said() == ""
    assert "runs" not in said(now=Ran(rates_s_per_day=AFTER))
    assert "keeps time" not in said(now=Ran(running_h=Measured(40, 0.2)))
    assert "When it came" not in said(now=Ran(rates_s_per_day=AFTER))


@pytest.mark.parametrize(
    ("count", "words"),
    [(1, "in the one position we listened to"), (3, "in the three positions we listened to"),
     (6, "in all six positions")],
)  # fmt: skip
def test_all_positions_are_claimed_only_when_all_were_heard(count, words):
    assert words in said(now=Ran(rates_s_per_day=AFTER[:count]))
    assert ("all" in said(now=Ran(rates_s_per_day=AFTER[:count]))) == (count == 6)


def test_a_watch_that_stood_is_said_to_have_stood_and_one_that_ran_is_not():
    assert said(ran_when_it_came=False) == "When it came it did not run."
    assert "did not run" not in said(ran_when_it_came=True)
    assert "did not run" not in said(ran_when_it_came=None)


@pytest.mark.parametrize(
    ("rates", "words"),
    [
        ((-50.3,), "lost about 50 seconds a day."),
        ((12.0,), "gained about 12 seconds a day."),
        ((-49.0, -56.0), "lost about 49 to 56 seconds a day, depending on its position."),
        ((-6.0, 7.0), "kept time within 8 seconds a day in the two positions we listened to."),
        ((-1.2,), "lost about 1 second a day."),
    ],
)
def test_losing_gaining_and_neither(rates, words):
    came = Ran(rates_s_per_day=tuple(Measured(rate, 0.2) for rate in rates))
    assert said(came=came) == f"When it came it {words}"


def test_a_rate_that_is_hardly_known_is_said_roughly():
    """By hand: 52 ± 20 is rounded to tens: about 50; ± 4 to ones, as the table shows it."""
    assert "about 50" in said(came=Ran(rates_s_per_day=(Measured(-52, 10),)))
    assert "about 52" in said(came=Ran(rates_s_per_day=(Measured(-52.4, 2),)))
    assert "within 23 seconds" in said(came=Ran(rates_s_per_day=(Measured(-2, 10.5),)))


def test_hours_that_are_less_sure_are_given_as_a_range():
    assert "about 46 hours" in said(now=Ran(running_h=Measured(46.4, 0.5)))
    assert "43 to 50 hours" in said(now=Ran(running_h=Measured(46.4, 1.5)))


def test_before_the_work_nothing_is_said_of_now_and_findings_are_counted():
    now = Ran(rates_s_per_day=AFTER)
    seen = FindingsSeen(looked=True, to_mend=3, grave=1, to_know=1)
    told = said(WorkStage.FINDINGS, now=now, seen=seen)
    assert "It now" not in told
    assert told == (
        "We found three things that need work, one of them grave, and one thing you should know."
    )
    assert said(WorkStage.DONE, seen=seen) == ""


@pytest.mark.parametrize(
    ("seen", "words"),
    [
        (
            FindingsSeen(looked=True, to_mend=1, grave=1),
            "one thing that needs work, and it is grave.",
        ),
        (
            FindingsSeen(looked=True, to_mend=2, grave=2),
            "two things that need work, both of them grave.",
        ),
        (
            FindingsSeen(looked=True, to_mend=3, grave=3),
            "three things that need work, all of them grave.",
        ),
        (FindingsSeen(looked=True, to_mend=40), "40 things that need work."),
        (FindingsSeen(looked=True, to_mend=2), "two things that need work."),
    ],
)
def test_what_is_grave_is_told_apart(seen, words):
    assert said(WorkStage.FINDINGS, seen=seen) == f"We found {words}"


def test_nothing_found_is_said_only_when_somebody_looked():
    assert (
        said(WorkStage.FINDINGS, seen=FindingsSeen(looked=True))
        == "We found nothing that needs work."
    )
    assert said(WorkStage.FINDINGS) == ""


def test_unfinished_work_is_called_so_and_finished_work_is_not():
    now = Ran(rates_s_per_day=AFTER)
    assert said(WorkStage.SO_FAR, now=now).startswith("The work is not finished")
    assert "not finished" not in said(WorkStage.DONE, now=now)
