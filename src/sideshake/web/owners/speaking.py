"""In which language a visit's owner is written to."""

from contextlib import AbstractContextManager

from sideshake.web.models import Visit
from sideshake.wording import Language, speaking


def speaking_to_owner(visit: Visit) -> AbstractContextManager[None]:
    """Say everything in the language of a visit's owner until the block ends."""
    return speaking(Language(visit.watch.owner.language))
