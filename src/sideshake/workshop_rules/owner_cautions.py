"""What an owner must mind, in plain words: paint, water, magnets, the date; never the bench's.

Radium: half-life 1600 years; the danger is dust, and radon gas where a watch lies in a small closed
room (public-health and radiation-protection publications). The rest is common practice.
"""

from sideshake.movement.sheet import CalibreSheet
from sideshake.wording import gettext as _
from sideshake.wording import noop
from sideshake.workshop_rules.cautions import KnownOfWatch, WatchCaution

KEEP_CLOSED = noop(
    "Keep the case closed and never scrape or blow at the paint. Do not keep it in a bedroom or "
    "where children play, and do not wear it day and night. Ask the radiation protection "
    "authority where you live."
)
IF_THE_GLASS_BREAKS = noop(
    "If the glass breaks, put the watch into a closed bag and wash your hands."
)


def caution(key: str, title: str, *sentences: str, grave: bool = False) -> WatchCaution:
    """Return a caution of so many sentences."""
    return WatchCaution(key=key, title=title, text=" ".join(sentences), grave=grave)


def radium_seen() -> WatchCaution:
    """Return the caution for paint that has left the marks of radium."""
    return caution(
        "owner-radium-marks",
        _("Its luminous paint must be treated as radium"),
        _("There are brown marks such as radium paint leaves."),
        _(KEEP_CLOSED),
        grave=True,
    )


def radium_possible() -> WatchCaution:
    """Return the caution for paint that may be radium by its age."""
    return caution(
        "owner-radium-age",
        _("Its luminous paint may be radium"),
        _("Paint of its age may hold radium, whether it still glows or not."),
        _(KEEP_CLOSED),
        grave=True,
    )


def radium_unknown() -> WatchCaution:
    """Return the caution where nobody has looked yet whether there is paint."""
    return caution(
        "owner-radium-unknown",
        _("Whether it has radium paint is not settled"),
        _(
            "Nobody has settled yet whether there is luminous paint on it, and its age makes "
            "radium possible. Until then: keep the case closed and never scrape or blow at the "
            "paint. Do not keep it in a bedroom or where children play, and do not wear it day "
            "and night. Ask the radiation protection authority where you live."
        ),
        grave=True,
    )


def tritium_alone() -> WatchCaution:
    """Return what a T on the dial means, as ISO 3157 has it."""
    return caution(
        "owner-tritium",
        _("Marked T"),
        _("Its paint is tritium, harmless behind the glass."),
        _(IF_THE_GLASS_BREAKS),
    )


def tritium_and_radium() -> WatchCaution:
    """Return what a T means where radium is suspected: it clears the dial's paint only, for hands
    may be older than the dial, or painted later."""
    return caution(
        "owner-tritium-dial",
        _("Marked T"),
        _(
            "The T says that the dial's paint is tritium, harmless behind the glass. It says "
            "nothing about the hands, which may still be radium."
        ),
        _(IF_THE_GLASS_BREAKS),
    )


def water() -> WatchCaution:
    """Return what to mind about water."""
    return caution(
        "owner-water",
        _("Water"),
        _("Keep it dry: no hand-washing, no shower, no swimming, whatever the case says."),
    )


def magnets() -> WatchCaution:
    """Return what to mind about magnets."""
    return caution(
        "owner-magnets",
        _("Magnets"),
        _("Keep it a hand's breadth from loudspeakers, phones, tablet covers and magnetic clasps."),
    )


def stopwatch() -> WatchCaution:
    """Return what to mind of a chronograph."""
    return caution(
        "owner-chronograph",
        _("Stopwatch"),
        _("Stop it before you set it back to zero, unless it is a fly-back."),
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
    date = caution(DATE, _("Setting the date"), date_words)
    return (
        *radium(known),
        *tritium(known),
        water(),
        magnets(),
        *([stopwatch()] if sheet and sheet.chronograph else []),
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
    return [tritium_and_radium() if radium(known) else tritium_alone()]


def radium(known: KnownOfWatch) -> list[WatchCaution]:
    """Return the caution about radium, if the paint is suspected of it."""
    if known.burn_marks:
        return [radium_seen()]
    if known.luminous is False or not known.may_be_of_radium_years:
        return []
    return [radium_possible() if known.luminous else radium_unknown()]
