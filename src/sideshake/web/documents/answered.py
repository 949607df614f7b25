"""Which findings answer what the owner told us of the watch, and what was done about each."""

from collections.abc import Iterator, Mapping

from django.utils.translation import gettext as _

from sideshake.documents.answer import Cause
from sideshake.documents.report import Done
from sideshake.documents.result import WorkStage
from sideshake.web.bench_plan.home_tests import PREFIX
from sideshake.web.documents.work_done import measured_of, overhaul_words, steps_done
from sideshake.web.models import Finding, Severity, Visit
from sideshake.workshop_rules.acceptance_told import AcceptanceTold, tests_of_job
from sideshake.workshop_rules.jobs import JOBS
from sideshake.workshop_rules.plan import OPTION

BARREL_HOLES = ("jewel-", "bush-")
MOST_QUOTED = 60
"""So many letters of the owner's words are enough to know them by."""


def causes_of(visit: Visit, told: Mapping[str, AcceptanceTold]) -> tuple[Cause, ...]:
    """Return the findings that are the cause of what the owner told.

    `told` : what the tests say, by the keys of their rows
    """
    return tuple(cause_of(visit, each, told) for each in visit.findings.all() if each.is_cause)


def cause_of(visit: Visit, finding: Finding, told: Mapping[str, AcceptanceTold]) -> Cause:
    """Return a cause with the work that answers it; put right only where no test of that failed."""
    jobs = jobs_of(finding.key)
    steps = [each for each in steps_done(visit) if is_work_of(jobs, each.key.removeprefix(OPTION))]
    done = [Done(what=each.title, measured=measured_of(visit, each, told)) for each in steps]
    whole = overhaul_words(steps_done(visit)) if answered_by_overhaul(finding.key) else ""
    lines = [whole and f"{whole}.", *(each.words for each in done)]
    tests = (told.get(f"{PREFIX}{test}") for job in jobs for test in tests_of_job(job))
    failed = any(test.failed for test in tests if test)
    return Cause(
        found=finding.title,
        done=" ".join(line for line in lines if line),
        put_right=finding.mended and not failed,
    )


def jobs_of(finding: str) -> tuple[str, ...]:
    """Return the keys of the usual jobs that answer a finding; none for own words."""
    return tuple(each.key for each in JOBS if finding in each.answers)


def is_work_of(jobs: tuple[str, ...], key: str) -> bool:
    """Return whether a step is one of some jobs; the barrel's new holes are named by their own.

    >>> is_work_of(("barrel",), "jewel-above"), is_work_of(("calendar",), "calendar-wheel")
    (True, False)
    """
    return key in jobs or ("barrel" in jobs and key.startswith(BARREL_HOLES))


def answered_by_overhaul(finding: str) -> bool:
    """Return whether taking apart, cleaning and oiling answers a finding."""
    if not finding:
        return False
    from sideshake.workshop_rules.suggest import OVERHAUL_ANSWERS  # late: it loads what judges

    return finding in OVERHAUL_ANSWERS


def to_answer(visit: Visit, stage: WorkStage, causes: tuple[Cause, ...]) -> Iterator[str]:
    """Yield what the restorer is asked so that the owner's words are answered."""
    complaint = " ".join(visit.complaint.split())
    if not complaint or stage is WorkStage.ARRIVED:
        return
    if not causes:
        short = complaint if len(complaint) <= MOST_QUOTED else f"{complaint[:MOST_QUOTED]}…"
        yield _("an answer to “%(said)s”: tick at a finding that it is the cause") % {"said": short}
    if stage is not WorkStage.DONE:
        return
    for each in visit.findings.all():
        if each.is_cause and not each.mended and each.severity != Severity.NOTE:
            yield _("whether “%(finding)s” is put right") % {"finding": each.title}
