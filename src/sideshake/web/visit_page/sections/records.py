"""The sections on arrival and look-over."""

from dataclasses import dataclass
from typing import Any

from sideshake.web.evidence.look_over import cautions_for, own_and_usual, questions_for
from sideshake.web.models import User, Visit


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultAnswered:
    """An answer of the look-over that was not good."""

    title: str
    said: str
    note: str


def arrived(visit: Visit, _user: User) -> dict[str, Any]:
    """Return the cautions: those of this very watch first, those of every watch apart."""
    found = [finding.key for finding in visit.findings.all()]
    own, usual = own_and_usual(cautions_for(visit.watch, found))
    return {"cautions": own, "usual": usual}


def looked_over(visit: Visit, _user: User) -> dict[str, Any]:
    """Return how far the look-over is, and what was not good."""
    asked = {question.key: question for question in questions_for(visit.watch)}
    rows = [row for row in visit.look_over.all() if row.question in asked]
    faults = [
        FaultAnswered(title=asked[row.question].title, said=row.said, note=row.note)
        for row in rows
        if row.choice not in ("g", "n")
    ]
    good = sum(row.choice == "g" for row in rows)
    return {
        "done": len(rows),
        "of": len(asked),
        "left": len(asked) - len(rows),
        "good": good,
        "faults": faults,
    }
