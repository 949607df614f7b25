"""A blank calibre sheet, written from the sheet's own description so that it never lags behind."""

from collections.abc import Iterator
from typing import Any

from pydantic.fields import FieldInfo

from sideshake.movement.lines import SheetSection
from sideshake.movement.sheet import CalibreSheet, holds_many, section_of
from sideshake.movement.sheet_text import quoted

HEAD = """\
# A calibre sheet for Sideshake. Take the # away from the lines you know; leave the others.
# Lengths in millimetres, angles in degrees; above is the bridge side, below the plate side.
# A measured value may carry its 95 % interval: "0.92+-0.01"; "0.92+-0.01 limit" surely lies within,
# "0.92+-0.005 standard" is one standard deviation, [0.92, 0.93, 0.92] are readings of one size.
# A plain length is known to half its last digit. Any line may name its source:
#   hole_mm = { value = "0.92+-0.01", source = "a sound movement", from_memory = false }
# The values shown are examples of an invented calibre, not recommendations.
"""
WIDTH = 44
LEFT_OUT = {"sources", "invented"}


def blank_sheet(name: str = "New calibre") -> str:
    """Return the text of a blank sheet: every line the program knows, commented, with its meaning.

    The only live line is the name, so the blank sheet is valid as it is.
    """
    lines = [HEAD, f"name = {quoted(name)}"]
    lines += section_lines(CalibreSheet, "", skip={"name"})
    return "\n".join(lines) + "\n"


def section_lines(section: type[SheetSection], place: str, *, skip: set[str]) -> Iterator[str]:
    """Yield the section's own lines, then its sub-sections as tables."""
    inner = []
    for key, field in section.model_fields.items():
        if key in skip | LEFT_OUT:
            continue
        if section_of(field.annotation) is None:
            yield commented(key, field)
        else:
            inner.append((key, field))
    for key, field in inner:
        yield from table_lines(key, field, place)


def table_lines(key: str, field: FieldInfo, place: str) -> Iterator[str]:
    """Yield one sub-section, as a table or as the first of a list of tables."""
    section = section_of(field.annotation) or SheetSection
    path = f"{place}.{key}" if place else key
    yield ""
    yield f"# {field.description}"
    yield f"#[[{path}]]" if holds_many(field.annotation) else f"#[{path}]"
    yield from section_lines(section, path, skip=set())


def commented(key: str, field: FieldInfo) -> str:
    """Return one commented line with its example and its meaning."""
    example = field.examples[0] if field.examples else None
    written = f"#{key} = {toml_value(example)}"
    return f"{written:{WIDTH}} # {field.description}"


def toml_value(value: Any) -> str:
    """Return an example value as TOML."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        return "[" + ", ".join(toml_value(each) for each in value) + "]"
    if isinstance(value, int | float):
        return f"{value:g}" if isinstance(value, float) else str(value)
    return f'"{value if value is not None else ""}"'
