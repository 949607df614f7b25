"""Where the workshop keeps its data: one folder, with the secrets, files and backups inside."""

import os
import secrets
from pathlib import Path

from platformdirs import user_data_path

VARIABLE = "SIDESHAKE_DATA"
FILES_VARIABLE = "SIDESHAKE_FILES"
OWN_EYES_ONLY = 0o700


def data_folder() -> Path:
    """Return the workshop's folder: `SIDESHAKE_DATA`, or this user's usual place for data."""
    chosen = os.environ.get(VARIABLE)
    return Path(chosen).absolute() if chosen else user_data_path("sideshake") / "workshop"


def files_folder(data: Path) -> Path:
    """Return where photographs and recordings lie: `SIDESHAKE_FILES`, or inside the data folder."""
    chosen = os.environ.get(FILES_VARIABLE)
    return Path(chosen).absolute() if chosen else data / "files"


def secret_key(folder: Path) -> str:
    """Return the key that signs sessions and links; made at the first start, or if it is empty."""
    path = folder / "secret"
    if not path.exists() or not path.read_text().strip():
        made(folder)
        new = path.with_suffix(f".{os.getpid()}")
        new.touch(mode=0o600)
        new.write_text(secrets.token_urlsafe(50))
        new.replace(path)
    return path.read_text()


def made(folder: Path) -> Path:
    """Return the folder; when it is not there it is made so that only its owner may look in."""
    if not folder.is_dir():
        folder.parent.mkdir(parents=True, exist_ok=True)
        folder.mkdir(mode=OWN_EYES_ONLY, exist_ok=True)
    return folder
