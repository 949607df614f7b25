"""What a worn bearing asks for: which finding it is, which usual job answers it, how long that is.

The jobs and their times are those of the proposal (common practice, no source).
"""

from sideshake.wear.place_judged import PlaceJudged
from sideshake.wear.place_sizes import PIVOT
from sideshake.wear.place_usual import PlaceKind
from sideshake.wear.place_words import place_details, place_sentence, worn_part
from sideshake.workshop_rules.jobs import JOBS, RepairJob

BEARING_FINDING = "bearing-worn"
BARREL_FINDING = "barrel-hole-worn"
FINDINGS = {
    PlaceKind.BARREL: BARREL_FINDING,
    PlaceKind.ROTOR_POST: "rotor-loose",
    PlaceKind.ROTOR_BALLS: "rotor-loose",
    PlaceKind.STEM: "crown-worn",
}
"""By the kind of place, where a worn one is no bearing of a wheel."""


def finding_for(judged: PlaceJudged) -> str:
    """Return the key of the usual finding that a worn bearing is."""
    if judged.place.kind is PlaceKind.BALANCE and worn_part(judged) == PIVOT:
        return "balance-pivot-worn"
    return FINDINGS.get(judged.place.kind, BEARING_FINDING)


def job_for(finding: str) -> RepairJob:
    """Return the usual job that answers a worn bearing's finding.

    Examples
    --------
    >>> job_for("bearing-worn").key, job_for("rotor-loose").key
    ('train-bearing', 'rotor')
    """
    return next(each for each in JOBS if finding in each.answers)


def evidence_of(judged: PlaceJudged) -> str:
    """Return the figures behind the finding of a worn bearing, in one line."""
    return " ".join((place_sentence(judged), *place_details(judged)))
