"""Where a picture was taken, as text: in XMP packets and in IPTC fields. Blanked, lengths kept.

After ISO 16684-1 (XMP) and IPTC-IIM 4.2: data sets 2:26, 2:27, 2:90, 2:92, 2:95, 2:100, 2:101.
"""

import re

NAMES = (
    rb"(?:[^\s<>=/:\"']{1,64}:(?:[\w.-]{0,64}(?:gps|latitude|longi?t+itude|altitude)[\w.-]{0,64}"
    rb"|location\w{0,64}|sublocation|city|state|province\w{0,64}|country\w{0,64}|worldregion"
    rb"|lat|lon|long)|GImage:Data)"
)
"""Bounded, so that no text can make the search slow."""
TAG = re.compile(rb"<(?:[^<>\"']|\"[^\"<]*+\"|'[^'<]*+')*+>")
ATTRIBUTE = re.compile(rb"(?<!\S)" + NAMES + rb"\s*+=\s*+(?:\"[^\"]*+\"|'[^']*+')", re.IGNORECASE)
ELEMENT = re.compile(rb"<(" + NAMES + rb")[\s/>]", re.IGNORECASE)
LEFT = re.compile(NAMES + rb"\s*+[=>]|<" + NAMES + rb"[\s/>]", re.IGNORECASE)
TWO_BYTES_A_LETTER = re.compile(rb"r\0d\0f\0:|r\0\0\0d\0\0\0f\0\0\0:")

PLACE_FIELD = re.compile(rb"\x1c\x02[\x1a\x1b\x5a\x5c\x5f\x64\x65](..)", re.DOTALL)


def blank_place(block: bytearray) -> None:
    """Blank the place in the XMP packets and IPTC fields of `block`; its length stays."""
    if TWO_BYTES_A_LETTER.search(block):
        block[:] = b" " * len(block)
    if b"rdf" in block:
        blank_properties(block)
        if names_a_place(block):  # not well-formed: its tags cannot be told apart
            block[:] = b" " * len(block)
    if b"8BIM" in block or block.startswith(b"\x1c"):
        blank_fields(block)


def blank_properties(block: bytearray) -> None:
    """Blank the place in XMP, written as attribute or as element."""
    closing, since = b"", 0
    for tag in TAG.finditer(bytes(block)):
        opened = ELEMENT.match(tag[0])
        if closing:
            if tag[0].startswith(closing):
                spaces(block, since, tag.end())
                closing = b""
        elif opened and tag[0].endswith(b"/>"):
            spaces(block, tag.start(), tag.end())
        elif opened:
            closing, since = b"</" + opened[1], tag.start()
        else:
            block[tag.start() : tag.end()] = ATTRIBUTE.sub(as_spaces, tag[0])
    if closing:
        spaces(block, since, len(block))


def blank_fields(block: bytearray) -> None:
    """Blank the place in the fields of IPTC-IIM."""
    for field in PLACE_FIELD.finditer(bytes(block)):
        length = int.from_bytes(field[1], "big") & 0x7FFF
        spaces(block, field.end(), min(field.end() + length, len(block)))


def names_a_place(text: bytes | bytearray) -> bool:
    """Return whether XMP still has a property that tells a place."""
    return LEFT.search(text) is not None


def spaces(block: bytearray, start: int, end: int) -> None:
    """Write spaces from `start` to `end`."""
    block[start:end] = b" " * (end - start)


def as_spaces(found: re.Match[bytes]) -> bytes:
    """Return as many spaces as were found bytes."""
    return b" " * len(found[0])
