"""`glyphs.txt`: which letters can the fonts set that come with the typst package?

The fonts lie inside the package's library, one after the other. Each is found by its first bytes
and asked for its letters (needs fontTools); what Typst then refuses in one of our styles is left
out, since a letter may be there upright and not in bold. Prints the table:

    python experiments/letters.py > src/sideshake/documents/glyphs.txt
"""

import io
import json
import struct
import unicodedata
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

import typst
from fontTools.ttLib import TTFont, TTLibError

BEGINNINGS = (b"OTTO", b"\x00\x01\x00\x00")
TABLES = range(8, 40)
"""How many tables a font has; anything else is a chance meeting of bytes."""


def places(data: bytes) -> Iterator[int]:
    """Yield where a font may begin."""
    for beginning in BEGINNINGS:
        at = data.find(beginning)
        while at >= 0:
            if struct.unpack(">H", data[at + 4 : at + 6])[0] in TABLES:
                yield at
            at = data.find(beginning, at + 1)


def letters_at(data: bytes, at: int) -> set[int]:
    """Return the letters of the font that begins here; none where there is no font."""
    count = struct.unpack(">H", data[at + 4 : at + 6])[0]
    rows = (
        struct.unpack(">4sLLL", data[p : p + 16]) for p in range(at + 12, at + 12 + 16 * count, 16)
    )
    end = max(offset + length for _tag, _sum, offset, length in rows)
    try:
        font = TTFont(io.BytesIO(data[at : at + end]), lazy=True)
        return set(font.getBestCmap() or {})
    except (TTLibError, KeyError, AssertionError, struct.error):
        return set()


STYLES = """
#set document(title: "letters")
#set text(font: "Libertinus Serif")
= Letters
#for each in json("letters.json") [#each #strong(each) #emph(each) #text(weight: "semibold", each)]
"""


def set_by_typst(letters: list[int]) -> list[int]:
    """Return the letters that Typst sets in every style, by halving what it refuses."""
    if not letters or is_set(letters):
        return letters
    half = len(letters) // 2
    return set_by_typst(letters[:half]) + set_by_typst(letters[half:]) if half else []


def is_set(letters: list[int]) -> bool:
    """Return whether Typst makes an archival PDF of the letters."""
    with TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "main.typ").write_text(STYLES)
        (folder / "letters.json").write_text(json.dumps([chr(each) for each in letters]))
        try:
            typst.compile(folder / "main.typ", ignore_system_fonts=True, pdf_standards=["a-2b"])
        except typst.TypstError:
            return False
    return True


def ranges(letters: list[int]) -> list[list[int]]:
    """Return letters as first and last of each unbroken row."""
    found: list[list[int]] = []
    for letter in letters:
        if found and found[-1][1] == letter - 1:
            found[-1][1] = letter
        else:
            found.append([letter, letter])
    return found


def main() -> None:
    """Print the table."""
    data = next(Path(typst.__file__).parent.glob("_typst*")).read_bytes()
    letters: set[int] = set().union(*(letters_at(data, at) for at in places(data)))
    known = sorted(each for each in letters if unicodedata.category(chr(each)) not in ("Cc", "Co"))
    for first, last in ranges(set_by_typst(known)):
        print(f"{first:04X}-{last:04X}" if last > first else f"{first:04X}")


if __name__ == "__main__":
    main()
