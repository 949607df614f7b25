"""What is measured, as papers call it: each table and line of the form, and what a photograph told.

The records keep the program's own English words; they are said in the language of the paper.
"""

import re
from functools import cache
from typing import TYPE_CHECKING

from sideshake.wording import figures, noop
from sideshake.wording import gettext as _

if TYPE_CHECKING:
    from sideshake.web.measuring.services import SizeSeen

TABLES = {
    "above": noop("Arbor, bridge side"),
    "below": noop("Arbor, plate side"),
    "barrel": noop("Play and room round the barrel"),
    "lid": noop("Lid's hole on the arbor"),
    "floor": noop("Floor's hole on the arbor"),
    "directions": noop("Where the partners lie"),
    "watch": noop("The watch"),
}
"""As the form names them."""
IF_ROUND = ", if round"
"""What the form says of a diameter; a hole that was made is round."""
FIELD = re.compile(r"\\\{(\w+)\\\}")


def table_named(key: str) -> str:
    """Return what a table of the form, or the place of another bearing, is called on paper."""
    if key in TABLES:
        return _(TABLES[key])
    from sideshake.web.measuring.place_rows import place_title  # late: it loads what judges

    return _(place_title(key))


def bare_name(size: "SizeSeen") -> str:
    """Return what a measured size is called on paper: without what only the form asks."""
    _table, _colon, meaning = size.name.partition(": ")
    return _("{title}: {words}").format(
        title=table_named(size.key.rpartition(".")[0] or "watch"),
        words=_(meaning.removesuffix(IF_ROUND)),
    )


def retold(sentence: str) -> str:
    """Return what a photograph told, kept in English, in the language spoken.

    What is no sentence of ours stays as it is.

    Examples
    --------
    >>> from sideshake.wording import Language, speaking
    >>> with speaking(Language.GERMAN):
    ...     retold("The hole is 1.012 ± 0.008 mm across, on the mean."), retold("Own words.")
    ('Das Loch misst im Mittel 1,012 ± 0,008 mm.', 'Own words.')
    """
    if not sentence:
        return ""
    from sideshake.photo.told import KEPT  # late: most reports have no size of a photograph
    from sideshake.photo.wheel_words import PIVOT_KEPT

    for message in (*KEPT, *PIVOT_KEPT):
        found = pattern_of(message).fullmatch(sentence)
        if found:
            return figures(_(message).format(**found.groupdict()))
    return sentence


@cache
def pattern_of(message: str) -> re.Pattern[str]:
    """Return what finds the figures in a sentence made of a message."""
    return re.compile(FIELD.sub(r"(?P<\1>.+?)", re.escape(message)))
