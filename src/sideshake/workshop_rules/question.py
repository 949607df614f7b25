"""One question of the look-over: what to do, what to notice, and answers of one key each."""

from dataclasses import dataclass
from enum import StrEnum

from sideshake.core.errors import InputError
from sideshake.workshop_rules.mechanism import Mechanism


class QuestionGroup(StrEnum):
    """The part of the look-over a question belongs to."""

    CASE = "case and crown"
    DIAL = "dial and hands"
    WINDING = "winding"
    RUNNING = "running"
    SETTING = "setting"
    CALENDAR = "calendar"
    CHRONOGRAPH = "chronograph"
    AUTOMATIC = "automatic winding"
    INSIDE = "inside the case"
    WEAK_POINTS = "known weak points"


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerChoice:
    """An answer: the key to press, what it says, and the usual finding it writes down, if any."""

    key: str
    text: str
    finding: str | None = None


GOOD = AnswerChoice(key="g", text="Good")
NOT_TRIED = AnswerChoice(key="n", text="Not tried")
HAS_NONE = AnswerChoice(key="h", text="Has none")


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """A question in plain words, what to do, what to listen and look for, and the answers.

    `opens` says that the case must be open for it; `words` are those by which a calibre's weak
    point is known to touch this question.
    """

    key: str
    group: QuestionGroup
    title: str
    how: str
    notice: str
    answers: tuple[AnswerChoice, ...]
    caution: str | None = None
    weak_point: str | None = None
    needs: Mechanism | None = None
    optional: bool = False
    opens: bool = False
    words: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        keys = [each.key for each in self.answers]
        if not all(len(key) == 1 and key.isascii() and key.islower() for key in keys):
            raise InputError(f"{self.key}: an answer is one small letter, got {keys}")
        if len(set(keys)) < len(keys) or len(keys) < 2:
            raise InputError(f"{self.key}: at least two answers, each with its own key: {keys}")

    def answer(self, key: str) -> AnswerChoice:
        """Return the answer of that key.

        Raises
        ------
        InputError : the question has no such answer
        """
        found = next((each for each in self.answers if each.key == key), None)
        if found is None:
            allowed = ", ".join(f"{each.key} ({each.text})" for each in self.answers)
            raise InputError(f"{self.key}: no answer {key!r}; there are {allowed}")
        return found


def faults(*rows: str) -> tuple[AnswerChoice, ...]:
    """Return the usual answers: good, the faults given as "key|text|finding", not tried."""
    made = []
    for row in rows:
        key, text, finding = row.split("|")
        made.append(AnswerChoice(key=key, text=text, finding=finding or None))
    return (GOOD, *made, NOT_TRIED)
