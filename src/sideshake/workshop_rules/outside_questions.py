"""The look-over from outside: case, crystal, crown, dial, hands. Common practice, no source."""

from sideshake.workshop_rules.question import Question, QuestionGroup, faults

NOT_PROVEN = "Looks never prove a case tight: promise nothing about water before a pressure test."
NO_BLOWING = (
    "Do not scrape, brush or blow on old luminous paint. If it may be radium, close the case again "
    "until that is settled; the rules where you work decide who may open it."
)

OUTSIDE: tuple[Question, ...] = (
    Question(
        key="case",
        group=QuestionGroup.CASE,
        title="Is the case sound?",
        how="Turn the case in slanting light: lugs, edges, holes of the strap bars, case back.",
        notice="Dents, cracks at the lugs, edges rounded by polishing, hallmarks. Write the metal "
        "down by its colour and the marks as read, never as what it is said to be.",
        answers=faults("w|Worn or dented|case-worn", "x|Does not close|case-open"),
    ),
    Question(
        key="crystal",
        group=QuestionGroup.CASE,
        title="Is the crystal whole and firm?",
        how="Look across it with a loupe; press it lightly at the edge with the thumb.",
        notice="Cracks, fine crazing, a gap at the rim, a click when pressed.",
        answers=faults("w|Scratched only|", "x|Cracked, loose or crazed|crystal-damaged"),
    ),
    Question(
        key="crown",
        group=QuestionGroup.CASE,
        title="Is the crown sound?",
        how="Turn it, then move it gently sideways and in and out; feel the threads if it screws.",
        notice="Teeth worn smooth, wobble of the stem, a crown that stands off the case.",
        answers=faults("w|Worn or wobbling|crown-worn", "x|Broken or missing|crown-worn"),
    ),
    Question(
        key="gaskets",
        group=QuestionGroup.CASE,
        title="Are there seals, and are they alive?",
        how="Look at the seals of back and crown when the case is open; touch them with pegwood.",
        notice="Hard, flat, sticky or missing seals.",
        answers=faults("w|Hard or sticky|gasket-dead", "x|Missing|gasket-dead"),
        caution=NOT_PROVEN,
        optional=True,
        opens=True,
    ),
    Question(
        key="water-marks",
        group=QuestionGroup.CASE,
        title="Is it dry inside, without water marks?",
        how="Look under the crystal, round the stem and, once the case is open, inside the back.",
        notice="Mist, tide lines on the dial, brown bloom on steel, rust round the stem.",
        answers=faults("w|Old marks, dry|water-marks", "x|Rust or wet|water-marks"),
        caution="A wet movement cannot wait: tell the owner today. " + NOT_PROVEN,
        words=("rust", "water", "moisture", "damp"),
    ),
    Question(
        key="dial",
        group=QuestionGroup.DIAL,
        title="Is the dial sound, and as it left the maker?",
        how="Look at it with a loupe in slanting light, through the crystal; touch nothing.",
        notice="Stains, lifting lacquer, cracks in enamel, uneven print, a dial that moves.",
        answers=faults(
            "w|Stained or lifting|dial-damaged",
            "r|Repainted or altered|dial-repainted",
            "x|Loose|dial-damaged",
        ),
        words=("dial",),
    ),
    Question(
        key="hands",
        group=QuestionGroup.DIAL,
        title="Are the hands firm, and free of each other?",
        how="Turn the hands slowly through twelve hours, watching them from the side.",
        notice="Hands that meet, drag over the dial or under the crystal; one that hangs back.",
        answers=faults(
            "w|Loose, bent or replaced|hands-loose", "x|They touch something|hands-touch"
        ),
    ),
    Question(
        key="lume",
        group=QuestionGroup.DIAL,
        title="Is there luminous paint, and is it firm?",
        how="Look for paint on hands and figures. Compare the date of the watch, look for a T "
        "beside the name at 6 o'clock and for brown shadows under the resting hands.",
        notice="Burn marks on the dial, crumbling or missing paint. A glow that has died says "
        "nothing: radium outlives its glow by centuries.",
        answers=faults(
            "w|Crumbling|lume-crumbling", "r|Perhaps radium|lume-suspect"
        ),
        caution=NO_BLOWING,
        optional=True,
    ),
)  # fmt: skip
