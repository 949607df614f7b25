"""The time zone of this computer, as its own settings name it."""

from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

LOCALTIME = Path("/etc/localtime")
ZONES = "/zoneinfo/"


def machine_zone(link: Path = LOCALTIME) -> str:
    """Return the zone that this computer's clock goes by, such as Europe/Zurich; else UTC.

    Linux and macOS tell it by the link /etc/localtime (tzset(3), localtime(5)); Windows does not
    tell it by a name of the time zone database.
    """
    try:
        where = str(link.readlink())
    except OSError:
        return "UTC"
    name = where.rpartition(ZONES)[2]
    return name if ZONES in where and is_zone(name) else "UTC"


def is_zone(name: str) -> bool:
    """Return whether the time zone database has a zone of that name."""
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True
