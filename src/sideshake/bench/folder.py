"""Where the workshop keeps its data: one folder, with the secrets, files and backups inside."""

import os
import secrets
from pathlib import Path

from platformdirs import user_data_path

VARIABLE = "SIDESHAKE_DATA"


def data_folder() -> Path:
    """Return the workshop's folder: `SIDESHAKE_DATA`, or this user's usual place for data."""
    chosen = os.environ.get(VARIABLE)
    return Path(chosen) if chosen else user_data_path("sideshake") / "workshop"


def secret_key(folder: Path) -> str:
    """Return the key that signs sessions and links; made at the first start."""
    path = folder / "secret"
    if not path.exists():
        folder.mkdir(parents=True, exist_ok=True)
        new = path.with_suffix(f".{os.getpid()}")
        new.touch(mode=0o600)
        new.write_text(secrets.token_urlsafe(50))
        new.replace(path)
    return path.read_text()


def made(folder: Path) -> Path:
    """Return the folder, which is made when it is not there."""
    folder.mkdir(parents=True, exist_ok=True)
    return folder
