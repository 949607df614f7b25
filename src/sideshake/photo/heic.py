"""HEIC files: the place blanked in the items that are words about the picture.

After ISO/IEC 14496-12 (boxes; `meta`, `iinf`, `iloc`) and ISO/IEC 23008-12 (Exif as an item).
"""

from collections.abc import Iterator
from dataclasses import dataclass

from sideshake.core.errors import InputError
from sideshake.photo.blocks import blank_spans

WORDS = frozenset({b"Exif", b"mime", b"uri "})
"""Items that hold EXIF, XMP or the like; a `jpeg` item may bring EXIF of its own."""
PICTURE_BOXES = frozenset({b"ftyp", b"meta", b"mdat", b"moov", b"free", b"skip", b"wide"})
FULL_HEAD = 4
"""Bytes of version and flags with which the content of some boxes begins."""
FILM_WORDS = frozenset({b"udta", b"meta"})
IN_FILE, IN_BOX = 0, 1
MOST_ITEMS = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class HeicBox:
    """One box: its name, where it begins, and where its content stands."""

    name: bytes
    at: int
    start: int
    end: int


def damaged() -> InputError:
    """Return the error for a file whose boxes do not fit."""
    return InputError("the HEIC picture is damaged or cut short; copy it again")


def number(data: bytes | bytearray, at: int, size: int) -> int:
    """Return the whole number of `size` bytes at `at`, the highest byte first."""
    if at + size > len(data):
        raise damaged()
    return int.from_bytes(data[at : at + size], "big")


def boxes(data: bytes | bytearray, start: int, end: int) -> Iterator[HeicBox]:
    """Yield the boxes between `start` and `end`."""
    at = start
    while at < end:
        size, begins = number(data, at, 4), at + 8
        if size == 1:
            size, begins = number(data, at + 8, 8), at + 16
        stops = at + size if size else end
        if not begins <= stops <= end:
            raise damaged()
        yield HeicBox(name=bytes(data[at + 4 : at + 8]), at=at, start=begins, end=stops)
        at = stops


def without_place(data: bytes) -> bytes:
    """Return a HEIC file with the place blanked, of the same length; the pictures stay.

    Raises
    ------
    InputError : the file is cut short or damaged
    """
    kept = bytearray(data)
    for box in boxes(data, 0, len(data)):
        if box.name == b"meta":
            blank_items(kept, list(boxes(data, box.start + FULL_HEAD, box.end)))
        elif box.name == b"moov":
            blank_film(kept, box)
        elif box.name not in PICTURE_BOXES:
            blank_spans(kept, [slice(box.start, box.end)])
    return bytes(kept)


def require_readable_names(data: bytes) -> None:
    """Refuse a file whose items have names that are no text.

    The decoder hands such names on unread, and the whole program would end with it.

    Raises
    ------
    InputError : a name is no text, or the boxes do not fit
    """
    for meta in of_name(b"meta", data, 0, len(data)):
        inside = meta.start + FULL_HEAD
        for items in of_name(b"iinf", data, inside, meta.end):
            for entry in of_name(b"infe", data, first_entry(data, items), items.end):
                require_text(*entry_texts(data, entry))
        for properties in of_name(b"iprp", data, inside, meta.end):
            for container in of_name(b"ipco", data, properties.start, properties.end):
                for auxiliary in of_name(b"auxC", data, container.start, container.end):
                    require_text(auxiliary_name(data, auxiliary))


def of_name(name: bytes, data: bytes | bytearray, start: int, end: int) -> Iterator[HeicBox]:
    """Yield the boxes of one name between `start` and `end`."""
    return (box for box in boxes(data, start, end) if box.name == name)


def first_entry(data: bytes | bytearray, items: HeicBox) -> int:
    """Return where the entries of a list of items (`iinf`) begin, after their count."""
    return items.start + FULL_HEAD + (2 if number(data, items.start, 1) == 0 else 4)


def entry_texts(data: bytes, entry: HeicBox) -> list[bytes]:
    """Return the kind of an item, if its entry (`infe`) has one, and its names."""
    version = number(data, entry.start, 1)
    begins = entry.start + FULL_HEAD + (4 if version >= 3 else 2) + 2
    names = begins + (4 if version >= 2 else 0)
    return [data[begins:names], data[names : entry.end]]


def auxiliary_name(data: bytes, box: HeicBox) -> bytes:
    """Return what an auxiliary picture is, from `auxC`.

    The name ends with a zero; bytes that are no text may follow, such as the messages of a
    picture of depths (`aux_subtype`, ISO/IEC 23008-12, 6.5.8).
    """
    return data[box.start + FULL_HEAD : box.end].partition(b"\0")[0]


def require_text(*names: bytes) -> None:
    """Refuse a name that is no text."""
    try:
        for name in names:
            name.decode()
    except UnicodeDecodeError:
        raise damaged() from None


def blank_film(data: bytearray, film: HeicBox) -> None:
    """Turn the words about a series of pictures into empty room."""
    for box in boxes(data, film.start, film.end):
        if box.name in FILM_WORDS:
            data[box.at + 4 : box.at + 8] = b"free"
            data[box.start : box.end] = bytes(box.end - box.start)
        elif box.name == b"trak":
            blank_film(data, box)


def blank_items(data: bytearray, inside: list[HeicBox]) -> None:
    """Blank the place in each item of words."""
    named = {box.name: box for box in inside}
    if b"iinf" not in named or b"iloc" not in named:
        raise damaged()
    wanted = items_of_words(data, named[b"iinf"])
    base = named[b"idat"].start if b"idat" in named else None
    for spans in item_spans(data, named[b"iloc"], wanted=wanted, idat=base):
        if any(span.stop > len(data) for span in spans):
            raise damaged()
        blank_spans(data, spans)


def items_of_words(data: bytearray, box: HeicBox) -> frozenset[int]:
    """Return the numbers of the items that are words about the picture."""
    found = set()
    for entry in boxes(data, first_entry(data, box), box.end):
        wide = 4 if number(data, entry.start, 1) >= 3 else 2
        kind = bytes(data[entry.start + 6 + wide : entry.start + 10 + wide])
        if kind in WORDS:
            found.add(number(data, entry.start + 4, wide))
    if len(found) > MOST_ITEMS:
        raise damaged()
    return frozenset(found)


@dataclass(frozen=True, slots=True, kw_only=True)
class Widths:
    """How many bytes each number takes in the list of places (`iloc`)."""

    version: int
    offset: int
    length: int
    base: int
    index: int

    @property
    def extent(self) -> int:
        """Return how many bytes the place of one piece takes."""
        return self.index + self.offset + self.length

    @property
    def number(self) -> int:
        """Return how many bytes the number of an item takes."""
        return 4 if self.version == 2 else 2


def widths(data: bytearray, box: HeicBox) -> Widths:
    """Return the widths that the head of an `iloc` box states."""
    version, first, second = (number(data, box.start + at, 1) for at in (0, 4, 5))
    index = second & 15 if version else 0
    return Widths(
        version=version, offset=first >> 4, length=first & 15, base=second >> 4, index=index
    )


def item_spans(
    data: bytearray, box: HeicBox, *, wanted: frozenset[int], idat: int | None
) -> Iterator[list[slice]]:
    """Yield, for each wanted item, the pieces of the file that it consists of."""
    wide = widths(data, box)
    at = box.start + 6 + wide.number
    for _ in range(number(data, box.start + 6, wide.number)):
        item, at = number(data, at, wide.number), at + wide.number
        way = number(data, at, 2) & 15 if wide.version else IN_FILE
        at += (2 if wide.version else 0) + 2
        base, at = number(data, at, wide.base), at + wide.base
        count, at = number(data, at, 2), at + 2
        if item in wanted:
            begins = base + start_of(way, idat)
            yield [extent(data, at + wide.extent * i, wide, begins) for i in range(count)]
        at += wide.extent * count


def start_of(way: int, idat: int | None) -> int:
    """Return from where the places of an item count."""
    if way == IN_FILE:
        return 0
    if way == IN_BOX and idat is not None:
        return idat
    raise InputError(
        "the HEIC picture keeps its words in an unusual way, so that the place could not be taken "
        "out of it; save it as JPEG and give that"
    )


def extent(data: bytearray, at: int, wide: Widths, begins: int) -> slice:
    """Return one piece of an item."""
    start = begins + number(data, at + wide.index, wide.offset)
    length = number(data, at + wide.index + wide.offset, wide.length)
    return slice(start, start + length if length else len(data))
