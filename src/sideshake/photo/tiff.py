"""EXIF is a TIFF block: directories of 12-byte entries. Here the place is blanked in it, in place.

After TIFF 6.0 (Adobe, 1992) and Exif 2.32 (CIPA DC-008-2019), 4.6: tags, types, directories.
"""

import re
import struct
from dataclasses import dataclass

HEADER = re.compile(
    rb"II\*\0|MM\0\*|(?:(?<=Exif\0\0)|\A)(?:II\0\*|MM\*\0|II\+\0|MM\0\+)"  # the last four: lenient
)
EMPTY = b"II*\0\x08\0\0\0\0\0\0\0\0\0"
"""A TIFF block that says nothing: one directory without entries."""

PLACE = 0x8825
DIRECTORIES = frozenset({0x8769, 0xA005, 0x014A})
"""Entries that point to further directories: Exif, interoperability, sub-pictures."""
TAKEN_AWAY = frozenset({PLACE, 0x927C, 0xC634, 0x83BB, 0x8649})
"""Place, maker's note (phones write the place there too), DNG private data, IPTC, Photoshop."""

BYTES_OF_TYPE = {3: 2, 4: 4, 5: 8, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8, 13: 4, 16: 8, 17: 8, 18: 8}
INLINE_BYTES = 4
ENTRY_BYTES = 12
MOST_BLOCK_BYTES = 4_000_000
MOST_HEADERS = 8
MOST_DIRECTORIES = 16
MOST_PLACE_ENTRIES = 64
MOST_TAKEN_AWAY = 16
"""Real files stay far below these; a block above them only wastes time and is emptied whole."""


class Nonsense(Exception):  # noqa: N818 - never leaves this module
    """The block goes beyond all that real files hold."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TiffEntry:
    """One entry of a directory: where it stands and what it says."""

    at: int
    tag: int
    type: int
    count: int
    value: int

    @property
    def size(self) -> int:
        """Return how many bytes its value takes."""
        return self.count * BYTES_OF_TYPE.get(self.type, 1)


class TiffBlock:
    """A TIFF block inside `data`, from its header to the end of `data`; changed in place."""

    def __init__(self, data: bytearray, start: int) -> None:
        """Look at `data` from `start` on, in the byte order that is told there."""
        self.data = memoryview(data)[start:]
        self.order = "<" if data[start : start + 2] == b"II" else ">"

    def number(self, at: int, code: str = "L") -> int:
        """Return the number at `at`; 0 where the block has ended."""
        if at + struct.calcsize(code) > len(self.data):
            return 0
        return int(struct.unpack_from(self.order + code, self.data, at)[0])

    def entries(self, at: int) -> list[TiffEntry]:
        """Return the entries of the directory at `at`, as many as there is room for."""
        fit = max(0, (len(self.data) - at - 2) // ENTRY_BYTES)
        places = [at + 2 + ENTRY_BYTES * index for index in range(min(self.number(at, "H"), fit))]
        return [self.entry(place) for place in places]

    def entry(self, at: int) -> TiffEntry:
        """Return the entry at `at`."""
        tag, type_, count, value = struct.unpack_from(self.order + "HHLL", self.data, at)
        if type_ == 3 and count == 1:
            value = self.number(at + 8, "H")
        return TiffEntry(at=at, tag=tag, type=type_, count=count, value=value)

    def blank(self, start: int, end: int) -> None:
        """Set to zero what lies from `start` to `end`, so far as it is inside."""
        end = min(end, len(self.data))
        if start < end:
            self.data[start:end] = bytes(end - start)

    def blank_value(self, entry: TiffEntry) -> None:
        """Set to zero what an entry points at."""
        if entry.size > INLINE_BYTES:
            self.blank(entry.value, entry.value + entry.size)

    def blank_directory(self, at: int) -> None:
        """Set to zero a whole directory and all it points at."""
        entries = self.entries(at)
        if len(entries) > MOST_PLACE_ENTRIES:
            raise Nonsense
        for entry in entries:
            self.blank_value(entry)
        self.blank(at, at + 2 + ENTRY_BYTES * len(entries) + 4)

    def remove(self, entry: TiffEntry, *, directory: int) -> None:
        """Take one entry out of its directory; those behind it move up, all else stays."""
        count = len(self.entries(directory))
        end = min(directory + 2 + ENTRY_BYTES * count + 4, len(self.data))
        behind = bytes(self.data[entry.at + ENTRY_BYTES : end])
        self.data[entry.at : end] = behind + bytes(ENTRY_BYTES)
        struct.pack_into(self.order + "H", self.data, directory, count - 1)

    def pointed_at(self, entry: TiffEntry) -> list[int]:
        """Return where the directories stand that an entry points to."""
        if entry.size <= INLINE_BYTES:
            return [entry.value]
        count = min(entry.count, MOST_DIRECTORIES)
        return [self.number(entry.value + INLINE_BYTES * index) for index in range(count)]


def blank_place(block: bytearray) -> None:
    """Blank the place in every TIFF block inside `block`; its length stays.

    A thumbnail has a TIFF block of its own inside the first, so all of it is searched.
    """
    at = 0
    for _ in range(MOST_HEADERS):
        header = HEADER.search(block, at)
        if header is None:
            return
        try:
            blank_one(block, header.start())
        except Nonsense:
            empty(block, header.start())
            return
        at = header.end()
    if HEADER.search(block, at):
        empty(block, 0)


def blank_one(block: bytearray, start: int) -> None:
    """Blank the place in the TIFF block that begins at `start`."""
    if len(block) > MOST_BLOCK_BYTES or b"+" in block[start : start + 4]:
        raise Nonsense
    tiff = TiffBlock(block, start)
    waiting, seen = [tiff.number(4)], {0}
    while waiting:
        at = waiting.pop()
        if at not in seen and at < len(tiff.data):
            seen.add(at)
            waiting += blank_in_directory(tiff, at)
        if len(seen) > MOST_DIRECTORIES:
            raise Nonsense


def blank_in_directory(tiff: TiffBlock, at: int) -> list[int]:
    """Return where the directories behind this one stand, the place blanked in this one."""
    entries = tiff.entries(at)
    following = tiff.number(at + 2 + ENTRY_BYTES * len(entries))
    further = [
        place for entry in entries if entry.tag in DIRECTORIES for place in tiff.pointed_at(entry)
    ]
    taken = [entry for entry in entries if entry.tag in TAKEN_AWAY]
    if len(taken) > MOST_TAKEN_AWAY:
        raise Nonsense
    for entry in reversed(taken):
        tiff.remove(entry, directory=at)
    for entry in taken:
        if entry.tag == PLACE:
            tiff.blank_directory(entry.value)
        tiff.blank_value(entry)
    return [*further, following]


def empty(block: bytearray, start: int) -> None:
    """Replace the TIFF block that begins at `start` by one that says nothing."""
    room = len(block) - start
    block[start:] = EMPTY.ljust(room, b"\0")[:room]
