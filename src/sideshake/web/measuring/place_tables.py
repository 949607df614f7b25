"""The bearings of a visit's watch by the tables of their sizes, for what measures one of them."""

from django.utils.text import capfirst

from sideshake.wear.watch_places import watch_places
from sideshake.web.calibres.sheets import sheet_named
from sideshake.web.measuring.services import BEARINGS
from sideshake.web.models import Visit


def bearing_tables(visit: Visit) -> dict[str, str]:
    """Return every bearing of a watch in words, by its table: the barrel's first."""
    barrel = {table: str(words) for table, words in BEARINGS.items()}
    others = watch_places(sheet_named(visit.watch.calibre))
    return barrel | {each.table: capfirst(each.words) for each in others if not each.is_barrel}
