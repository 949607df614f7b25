"""How a watch lay, in words that hold for it: a pocket watch has its crown at 12, or at 3."""

from dataclasses import replace

from sideshake.timing.compare.conditions import named
from sideshake.timing.positions.summary import HANGING, Position
from sideshake.web.calibres.sheets import sheet_named
from sideshake.web.comparison.services import SideBySide
from sideshake.web.models import Watch
from sideshake.wording import gettext as _

POCKET = "pocket"


def is_pocket_watch(watch: Watch) -> bool:
    """Return whether it is a pocket watch, by its calibre sheet or by what we call it."""
    sheet = sheet_named(watch.calibre)
    return POCKET in f"{sheet.kind if sheet else ''} {watch.title}".casefold()


def laid_words(words: str, *, pocket: bool) -> str:
    """Return how a watch lay: of a pocket watch by the hour of its dial (ISO 3158), not its crown.

    Examples
    --------
    >>> laid_words("3H, crown up", pocket=True), laid_words("CH, dial up", pocket=True)
    ("3H, 3 o'clock up", 'CH, dial up')
    """
    return by_the_hour().get(words, words) if pocket else words


def by_the_hour() -> dict[str, str]:
    """Return hanging positions by the crown, as most watches have it, and by the dial's hour."""
    return {
        named(each): _("{position}, {hour} o'clock up").format(position=each, hour=each.value[:-1])
        for each in HANGING
    }


def place_words(position: str, *, pocket: bool = False) -> str:
    """Return how a reading says that the watch lay, in the language spoken.

    Examples
    --------
    >>> place_words("3H"), place_words("3H", pocket=True), place_words("")
    ('3H, crown up', "3H, 3 o'clock up", 'not noted')
    """
    return laid_words(named(Position(position)), pocket=pocket) if position else _("not noted")


def laid_pair(pair: SideBySide | None, *, pocket: bool) -> SideBySide | None:
    """Return before and after with the places of a pocket watch in the words of its dial."""
    if pair is None or not pocket:
        return pair
    differences = tuple(
        replace(each, place=laid_words(each.place, pocket=True))
        for each in pair.compared.differences
    )
    return replace(pair, compared=replace(pair.compared, differences=differences))
