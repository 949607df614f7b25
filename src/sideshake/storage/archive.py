"""The archive of a workshop: a ZIP file with a manifest. docs/workshop.md tells its layout."""

import hashlib
import json
import zipfile
import zlib
from collections.abc import Callable, Iterable, Iterator
from dataclasses import asdict, dataclass, field
from pathlib import Path, PurePosixPath
from typing import IO

from sideshake.core.errors import InputError

FORMAT = "sideshake-backup"
VERSION = 1
MANIFEST = "manifest.json"
CHUNK_BYTES = 1024**2
LONG_AGO = (1980, 1, 1, 0, 0, 0)
"""Members carry no time of their own: the same workshop gives the same members."""

BROKEN = (
    zipfile.BadZipFile,
    zlib.error,
    OSError,
    EOFError,
    ValueError,
    NotImplementedError,
    RuntimeError,
)
"""What reading a damaged ZIP file raises; RuntimeError when a flipped bit says "encrypted"."""

Progress = Callable[[int, int], None]
"""Called with the bytes done and the bytes to do."""


def unseen(_done: int, _whole: int) -> None:
    """Show no progress."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Member:
    """A file in the archive, or beside it."""

    name: str
    bytes: int
    sha256: str
    mtime_ns: int = 0

    def __post_init__(self) -> None:
        if not safe_name(self.name):
            raise InputError(f"the archive names a file outside the workshop: {self.name!r}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Manifest:
    """What an archive holds, and from which state of the records."""

    made_at: str
    program: str
    migrations: list[str]
    records: dict[str, int]
    members: list[Member]
    beside: list[Member] = field(default_factory=list)
    """Files that an automatic backup left where they are."""
    missing: list[str] = field(default_factory=list)
    """Files that a record names and that were not there."""

    def text(self) -> bytes:
        """Return the manifest as it is written."""
        tree = {"format": FORMAT, "version": VERSION, **asdict(self)}
        return json.dumps(tree, ensure_ascii=False, indent=1).encode()


def manifest_of(text: bytes) -> Manifest:
    """Return the manifest that was read.

    Raises
    ------
    InputError : it is no manifest of an archive that this program can read
    """
    try:
        tree = json.loads(text)
        kind, version = tree.pop("format"), tree.pop("version")
        if kind != FORMAT:
            raise InputError("the file is no backup of a workshop")
        if version != VERSION:
            raise InputError(
                f"the backup has layout {version}, this Sideshake reads "
                f"{VERSION}; install a newer one"
            )
        for name in ("members", "beside"):
            tree[name] = [Member(**each) for each in tree[name]]
        return Manifest(**tree)
    except (KeyError, TypeError, AttributeError, UnicodeDecodeError, json.JSONDecodeError):
        raise InputError("the backup's list of contents is damaged") from None


def safe_name(name: str) -> bool:
    """Return whether a name leads to a place inside the workshop and nowhere else.

    >>> safe_name("files/photographs/ab.jpg"), safe_name("files/../../etc/passwd")
    (True, False)
    """
    parts = PurePosixPath(name).parts
    return (
        bool(parts)
        and "/".join(parts) == name
        and not any(part in ("..", ".") or part.startswith("/") for part in parts)
        and not any(letter in name for letter in "\\:\0")
    )


def chunks_of(file: IO[bytes]) -> Iterator[bytes]:
    """Yield a file piece by piece."""
    while chunk := file.read(CHUNK_BYTES):
        yield chunk


def add(archive: zipfile.ZipFile, name: str, chunks: Iterable[bytes], *, packed: bool) -> Member:
    """Return what was written into the archive as one member, streamed."""
    info = zipfile.ZipInfo(name, LONG_AGO)
    info.compress_type = zipfile.ZIP_DEFLATED if packed else zipfile.ZIP_STORED
    info.external_attr = 0o600 << 16
    fingerprint, size = hashlib.sha256(), 0
    with archive.open(info, "w", force_zip64=True) as out:
        for chunk in chunks:
            out.write(chunk)
            fingerprint.update(chunk)
            size += len(chunk)
    return Member(name=name, bytes=size, sha256=fingerprint.hexdigest())


def sha256_of(path: Path) -> str:
    """Return the SHA-256 of a file."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def opened(path: Path) -> zipfile.ZipFile:
    """Return an archive opened for reading.

    Raises
    ------
    InputError : it is not there, not to be read, or no whole ZIP file
    """
    try:
        return zipfile.ZipFile(path)
    except OSError as error:
        raise InputError(f"cannot read {path}: {error.strerror}") from None
    except (zipfile.BadZipFile, ValueError):
        raise InputError(
            f"{path.name} is no backup, or it is damaged or cut short; nothing was changed"
        ) from None


def read_manifest(archive: zipfile.ZipFile) -> Manifest:
    """Return what the archive says it holds, which must be what is in it.

    Raises
    ------
    InputError : it is no backup, or damaged
    """
    names = archive.namelist()
    if MANIFEST not in names:
        raise InputError("the file is no backup of a workshop: it has no manifest.json")
    manifest = manifest_of(read_whole(archive, MANIFEST))
    if sorted(names) != sorted([MANIFEST, *(each.name for each in manifest.members)]):
        raise InputError("the backup does not hold the files its list of contents names")
    return manifest


def read_whole(archive: zipfile.ZipFile, name: str) -> bytes:
    """Return a small member as it is."""
    try:
        return archive.read(name)
    except BROKEN:
        raise InputError("the backup's list of contents is damaged") from None


def member_chunks(archive: zipfile.ZipFile, member: Member) -> Iterator[bytes]:
    """Yield a member piece by piece; at its end it has been proved whole.

    Raises
    ------
    InputError : it is damaged
    """
    fingerprint, size = hashlib.sha256(), 0
    for chunk in raw_chunks(archive, member.name):
        size += len(chunk)
        fingerprint.update(chunk)
        if size > member.bytes:
            break
        yield chunk
    if (size, fingerprint.hexdigest()) != (member.bytes, member.sha256):
        raise damaged(member.name)


def raw_chunks(archive: zipfile.ZipFile, name: str) -> Iterator[bytes]:
    """Yield what the ZIP file holds under a name."""
    try:
        with archive.open(name) as file:
            yield from chunks_of(file)
    except BROKEN:
        raise damaged(name) from None


def damaged(name: str) -> InputError:
    """Return the one sentence about a damaged member."""
    return InputError(
        f"the backup is damaged at {name}: it is not what was written; use another one"
    )
