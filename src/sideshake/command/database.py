"""Getting the workshop's records ready for a command: settings chosen, then Django set up."""

import os
from collections.abc import Sequence
from pathlib import Path


def use_workshop(hosts: Sequence[str] = ()) -> Path:
    """Return the data folder, after Django knows it and the names this computer may be called by.

    Raises
    ------
    InputError : the data folder cannot be made, or DATABASE_URL cannot be used
    """
    from sideshake.core.errors import InputError

    known = os.environ.get("SIDESHAKE_HOSTS", "")
    os.environ["SIDESHAKE_HOSTS"] = ",".join(filter(None, [known, *hosts]))
    os.environ["DJANGO_SETTINGS_MODULE"] = "sideshake.web.settings"
    import django
    from django.conf import settings

    try:
        django.setup()
        return Path(settings.DATA)
    except OSError as error:
        raise InputError(
            f"the data folder cannot be used: {error.filename}: {error.strerror}; choose another "
            "one by SIDESHAKE_DATA"
        ) from None
