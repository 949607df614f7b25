"""The look-over of the movement: winding, running, setting, automatic work, inside the case.

Common practice, no source; the rotor tests are those of the trade (rotor turned both ways, rotor
watched while winding by hand).
"""

from sideshake.workshop_rules.mechanism import Mechanism
from sideshake.workshop_rules.question import Question, QuestionGroup, faults

WINDING: tuple[Question, ...] = (
    Question(
        key="winding",
        group=QuestionGroup.WINDING,
        title="Does it wind smoothly?",
        how="Wind slowly, a few turns, watch held to the ear. Stop at the first real resistance.",
        notice="An even click. Grating, a stiff place once in every turn, clicks that are missed, "
        "a crown that turns back.",
        answers=faults(
            "w|Rough or stiff|winding-rough",
            "s|Slips or runs back|click-slips",
            "x|Does not wind|winding-turns",
        ),
        caution="Do not force it: a sprung ratchet or click lets the whole spring go at once.",
        words=("barrel", "winding", "click", "ratchet", "crown wheel"),
    ),
    Question(
        key="full-wind",
        group=QuestionGroup.WINDING,
        title="Does it come to a stop at full wind, or slip softly on an automatic?",
        how="Wind on, gently; count the turns of the crown and write them down.",
        notice="A firm stop on a hand-wound watch, a soft slip on an automatic. A barrel that "
        "never fills, or a stop after a few turns.",
        answers=faults(
            "w|Stops early|winding-turns", "x|Never fills|winding-turns"
        ),
        words=("mainspring",),
    ),
    Question(
        key="runs",
        group=QuestionGroup.RUNNING,
        title="Does it run by itself?",
        how="Lay it dial up, then dial down, then hang it crown up; a minute each. Take a reading "
        "as it came, before anything is touched.",
        notice="A weak or galloping sound, stopping when it hangs, seconds that hesitate.",
        answers=faults(
            "w|Weak|amplitude-low",
            "b|Uneven tick and tock|out-of-beat",
            "x|Does not run|stops",
        ),
        words=("amplitude", "balance", "escapement"),
    ),
    Question(
        key="magnetism",
        group=QuestionGroup.RUNNING,
        title="Is it free of magnetism?",
        how="Bring a small compass close to the running watch and move it slowly round the case.",
        notice="A needle that swings with the watch, or that turns with a place on it.",
        answers=faults("x|Magnetised|magnetised"),
        caution="Keep the demagnetiser away from anyone with a pacemaker or other implant, from "
        "hearing aids and cards; follow what the implant's maker says.",
        words=("magnet",),
    ),
    Question(
        key="setting",
        group=QuestionGroup.SETTING,
        title="Do the hands set smoothly and stay?",
        how="Draw the crown (or the lever) and turn the hands forward an hour, then push it home.",
        notice="A crown that jumps out, hands that slip or jerk when it goes home, a setting so "
        "light that the hands will fall behind.",
        answers=faults(
            "w|Light: hands may slip|cannon-pinion-loose",
            "x|Jumps out or slips|setting-slips",
        ),
        words=("setting", "cannon", "stem"),
    ),
    Question(
        key="seconds-stop",
        group=QuestionGroup.SETTING,
        title="Does the seconds hand stop while setting, if it is made to?",
        how="Draw the crown when the seconds hand passes 60 and watch for ten seconds.",
        notice="It stops at once and starts at once; or it creeps.",
        answers=faults("x|Does not hold|hack-fails"),
        optional=True,
    ),
)  # fmt: skip

AUTOMATIC: tuple[Question, ...] = (
    Question(
        key="rotor",
        group=QuestionGroup.AUTOMATIC,
        opens=True,
        title="Does the rotor turn freely and without rubbing?",
        how="Turn the watch slowly in the hand, ear close; with the back off, press the rim of the "
        "rotor lightly up and down with pegwood.",
        notice="Scraping or rattling, bright arcs on the bridges or inside the back, metal dust, "
        "a rim that reaches the back.",
        answers=faults("w|Loose|rotor-loose", "x|Rubs|rotor-rubs"),
        needs=Mechanism.AUTOMATIC,
        words=("rotor",),
    ),
    Question(
        key="rotor-winds",
        group=QuestionGroup.AUTOMATIC,
        opens=True,
        title="Does the rotor wind?",
        how="From stopped, turn the rotor slowly both ways and watch the ratchet wheel; count the "
        "turns for one tooth.",
        notice="A direction that does nothing although it should wind; much dead travel.",
        answers=faults("w|Poorly, or one way only|winds-poorly", "x|Not at all|winds-poorly"),
        needs=Mechanism.AUTOMATIC,
        words=("automatic", "reverser", "reversing"),
    ),
    Question(
        key="rotor-while-winding",
        group=QuestionGroup.AUTOMATIC,
        opens=True,
        title="Does the rotor stay still while you wind by hand?",
        how="With the back off, wind slowly by the crown and watch the rotor.",
        notice="A rotor that turns along: the reversing work sticks. Stop winding then.",
        answers=faults("x|It turns along|rotor-spins"),
        needs=Mechanism.AUTOMATIC,
        optional=True,
    ),
)  # fmt: skip

INSIDE: tuple[Question, ...] = (
    Question(
        key="earlier-marks",
        group=QuestionGroup.INSIDE,
        opens=True,
        title="Have earlier repairers left it sound?",
        how="Look inside the case back and over the movement with a loupe; copy every scratched "
        "mark letter by letter and photograph it.",
        notice="Burred screw slots, punch marks round holes, glue, solder, bent or filed plates, "
        "parts of another colour or number.",
        answers=faults(
            "w|Damage by a repair|botched-repair", "x|Wrong or missing part|wrong-part"
        ),
    ),
    Question(
        key="oil",
        group=QuestionGroup.INSIDE,
        opens=True,
        title="Is there oil where it should be, and only there?",
        how="Look into the jewels with a loupe, light from the side.",
        notice="Dry or brown rings, gum, oil that has run over the plate.",
        answers=faults("w|Dried or gummed|oil-dried"),
    ),
    Question(
        key="barrel-rim",
        group=QuestionGroup.INSIDE,
        opens=True,
        title="Does the barrel stand up straight?",
        how="Press lightly on the barrel's rim with pegwood, from above, at two places.",
        notice="The rim must not reach bridge, plate or wheel. A bright arc beside the ratchet "
        "wheel, brass dust, rub marks on the lid.",
        answers=faults("w|Leans|barrel-hole-worn", "x|Leans and rubs|barrel-rubs"),
        caution="The spring is under power: press, never lever; nothing is unscrewed before the "
        "mainspring is let down.",
        words=("barrel",),
    ),
)  # fmt: skip
