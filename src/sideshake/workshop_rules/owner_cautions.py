"""What an owner must mind, in plain words: paint, water, magnets, the date; never the bench's.

Radium: half-life 1600 years; the danger is dust, and radon gas where a watch lies in a small closed
room (public-health and radiation-protection publications). The rest is common practice.
"""

from sideshake.movement.sheet import CalibreSheet
from sideshake.workshop_rules.cautions import KnownOfWatch, WatchCaution

KEEP_CLOSED = (
    "Keep the case closed and never scrape or blow at the paint. Do not keep it in a bedroom or "
    "where children play, and do not wear it day and night. Ask the radiation protection "
    "authority where you live."
)
IF_THE_GLASS_BREAKS = "If the glass breaks, put the watch into a closed bag and wash your hands."
RADIUM_SEEN = WatchCaution(
    key="owner-radium-marks",
    title="Its luminous paint must be treated as radium",
    text=f"There are brown marks such as radium paint leaves. {KEEP_CLOSED}",
    grave=True,
)
RADIUM_POSSIBLE = WatchCaution(
    key="owner-radium-age",
    title="Its luminous paint may be radium",
    text=f"Paint of its age may hold radium, whether it still glows or not. {KEEP_CLOSED}",
    grave=True,
)
RADIUM_UNKNOWN = WatchCaution(
    key="owner-radium-unknown",
    title="Whether it has radium paint is not settled",
    text="Nobody has settled yet whether there is luminous paint on it, and its age makes radium "
    f"possible. Until then: {KEEP_CLOSED[0].lower()}{KEEP_CLOSED[1:]}",
    grave=True,
)
TRITIUM = WatchCaution(
    key="owner-tritium",
    title="Marked T",
    text=f"Its paint is tritium, harmless behind the glass. {IF_THE_GLASS_BREAKS}",
    grave=False,
)
TRITIUM_AND_RADIUM = WatchCaution(
    key="owner-tritium-dial",
    title="Marked T",
    text="The T says that the dial's paint is tritium, harmless behind the glass. It says nothing "
    f"about the hands, which may still be radium. {IF_THE_GLASS_BREAKS}",
    grave=False,
)
"""A T clears the dial's paint only: hands may be older than the dial, or painted later."""
WATER = WatchCaution(
    key="owner-water",
    title="Water",
    text="Keep it dry: no hand-washing, no shower, no swimming, whatever the case says.",
    grave=False,
)
MAGNETS = WatchCaution(
    key="owner-magnets",
    title="Magnets",
    text="Keep it a hand's breadth from loudspeakers, phones, tablet covers and magnetic clasps.",
    grave=False,
)
CHRONOGRAPH = WatchCaution(
    key="owner-chronograph",
    title="Stopwatch",
    text="Stop it before you set it back to zero, unless it is a fly-back.",
    grave=False,
)
DATE = "owner-date"


def owner_cautions(
    known: KnownOfWatch, sheet: CalibreSheet | None = None, *, date_words: str = ""
) -> tuple[WatchCaution, ...]:
    """Return what the owner of a watch must mind, what can hurt somebody first.

    Parameters
    ----------
    sheet : the calibre's sheet, for the stopwatch; None when it is not known
    date_words : when the date must not be set; empty when there is nothing to forbid
    """
    date = WatchCaution(key=DATE, title="Setting the date", text=date_words, grave=False)
    return (
        *radium(known),
        *tritium(known),
        WATER,
        MAGNETS,
        *([CHRONOGRAPH] if sheet and sheet.chronograph else []),
        *([date] if date_words else []),
    )


def tritium(known: KnownOfWatch) -> list[WatchCaution]:
    """Return what the T on a dial means; where radium is suspected, that it clears the dial only.

    References
    ----------
    ISO 3157: T marks a dial with tritium
    """
    if not known.marked_t:
        return []
    return [TRITIUM_AND_RADIUM if radium(known) else TRITIUM]


def radium(known: KnownOfWatch) -> list[WatchCaution]:
    """Return the caution about radium, if the paint is suspected of it."""
    if known.burn_marks:
        return [RADIUM_SEEN]
    if known.luminous is False or not known.may_be_of_radium_years:
        return []
    return [RADIUM_POSSIBLE if known.luminous else RADIUM_UNKNOWN]
