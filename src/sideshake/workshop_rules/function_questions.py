"""The look-over of calendar and chronograph.

The chronograph's checks are those of trade-school practice (start without a jump of more than one
tooth, minute step between 58 and 60 s, reset to half a mark); the rest is common practice.
"""

from sideshake.workshop_rules.mechanism import Mechanism
from sideshake.workshop_rules.question import Question, QuestionGroup, faults

FIRMNESS = "First lightly, only to the first resistance; then firmly, once."

CALENDAR: tuple[Question, ...] = (
    Question(
        key="date-quick-set",
        group=QuestionGroup.CALENDAR,
        title="Does the quick-set of the date work?",
        how="Bring the hands out of the forbidden hours first. Then use the crown or the "
        f"push-piece. {FIRMNESS}",
        notice="One clean step each time. A soft slip, a crack, a date that stays between two.",
        answers=faults(
            "w|Only with a firm push|quick-set-slips",
            "c|Cracks or slips|corrector-cracked",
            "x|Sets nothing|quick-set-slips",
        ),
        needs=Mechanism.QUICK_SET,
        words=("corrector", "quick-set", "date"),
    ),
    Question(
        key="day-quick-set",
        group=QuestionGroup.CALENDAR,
        title="Does the quick-set of the day work?",
        how=f"Outside the forbidden hours as well. {FIRMNESS}",
        notice="One clean step each time, the name of the day upright in its window.",
        answers=faults(
            "w|Only with a firm push|quick-set-slips", "x|Sets nothing|quick-set-slips"
        ),
        needs=Mechanism.CALENDAR,
        optional=True,
        words=("day",),
    ),
    Question(
        key="calendar-change",
        group=QuestionGroup.CALENDAR,
        title="Does the calendar change as it should?",
        how="Turn the hands slowly forward through a change. Write down the hand time at which the "
        "date first moves, at which it jumps, and at which it is free again.",
        notice="A full step near midnight; stiffness on the way; a date left half way. If it "
        "changes at noon, the hands are twelve hours out, no more.",
        answers=faults(
            "w|Late, early or incomplete|date-late",
            "c|Skips at one place, teeth are gone|calendar-teeth-lost",
            "x|Does not change|date-stuck",
        ),
        caution="Never turn the hands backwards through the change.",
        needs=Mechanism.CALENDAR,
        words=("calendar", "date ring"),
    ),
)  # fmt: skip

CHRONOGRAPH: tuple[Question, ...] = (
    Question(
        key="start",
        group=QuestionGroup.CHRONOGRAPH,
        title="Does the chronograph start cleanly?",
        how="Wind the watch well. Press start with even force, watching the hand; ten times.",
        notice="No jump of more than one tooth of its wheel, no hesitation, no flutter.",
        answers=faults(
            "w|Jumps|hand-jumps",
            "d|Takes the power away|chronograph-drop",
            "x|Hesitates or does not start|start-fails",
        ),
        needs=Mechanism.CHRONOGRAPH,
        words=("coupling", "chronograph wheel", "clutch"),
    ),
    Question(
        key="stop",
        group=QuestionGroup.CHRONOGRAPH,
        title="Does the hand stop, and stay where it stopped?",
        how="Stop it, then shake the watch gently.",
        notice="A hand that moves on, or that wanders when shaken.",
        answers=faults("w|Moves a little|brake-weak", "x|Does not stop|brake-weak"),
        needs=Mechanism.CHRONOGRAPH,
        words=("brake",),
    ),
    Question(
        key="reset",
        group=QuestionGroup.CHRONOGRAPH,
        title="Do all hands return to zero?",
        how="Stop it near 5, 25, 31 and 55 seconds in turn and reset each time.",
        notice="On zero to half a mark, without a bounce, from every place.",
        answers=faults("w|A little off|reset-off", "x|Far off or not at all|reset-off"),
        caution="Never press reset while it runs, unless the watch is made for it.",
        needs=Mechanism.CHRONOGRAPH,
        words=("reset", "hammer", "heart"),
    ),
    Question(
        key="minute-counter",
        group=QuestionGroup.CHRONOGRAPH,
        title="Does the minute counter step once a minute?",
        how="Let it run three minutes and watch the counter from 55 to 60 seconds.",
        notice="One mark, between 58 and 60 s. A watch that slows or stops just then.",
        answers=faults("w|Late, early or double|minute-counter", "x|Hangs|minute-counter"),
        needs=Mechanism.MINUTE_COUNTER,
        words=("minute counter",),
    ),
    Question(
        key="hour-counter",
        group=QuestionGroup.CHRONOGRAPH,
        title="Does the hour counter move, and only while the chronograph runs?",
        how="Note where it stands, let it run an hour; then stop it and look again after an hour.",
        notice="A counter that hangs, or that creeps while the chronograph stands.",
        answers=faults("w|Creeps|hour-counter", "x|Hangs|hour-counter"),
        needs=Mechanism.HOUR_COUNTER,
        words=("hour counter", "hour work"),
    ),
    Question(
        key="pushers",
        group=QuestionGroup.CHRONOGRAPH,
        title="Do the push-pieces move evenly and come back?",
        how="Press each slowly, with the same finger, several times.",
        notice="Uneven force, sticking, two steps in one push, play that lets water in.",
        answers=faults("w|Uneven or loose|pusher-sticks", "x|Sticks|pusher-sticks"),
        needs=Mechanism.CHRONOGRAPH,
        words=("pusher", "push-piece"),
    ),
)  # fmt: skip
