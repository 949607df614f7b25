"""A workshop's rows and files as values, and archives altered on purpose."""

import shutil
import zipfile

from sideshake.web.base.rows import kept_tables
from sideshake.web.storage.restore import clear


def all_rows():
    return {
        t._meta.label_lower: list(t._base_manager.order_by("pk").values()) for t in kept_tables()
    }


def all_files(folder):
    return {
        p.relative_to(folder).as_posix(): p.read_bytes()
        for p in folder.rglob("*")
        if p.is_file() and ".unfinished" not in p.name
    }


def emptied(folder):
    clear()
    shutil.rmtree(folder)
    folder.mkdir()


def altered(archive, path, change):
    """Write a copy of an archive whose members went through `change(name, data)`."""
    with zipfile.ZipFile(archive) as old, zipfile.ZipFile(path, "w") as new:
        for info in old.infolist():
            data = change(info.filename, old.read(info))
            if data is not None:
                new.writestr(info, data)
    return path
