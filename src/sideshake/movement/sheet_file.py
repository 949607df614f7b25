"""Read a calibre sheet: TOML in, a checked sheet out, faults named by key and meaning."""

from difflib import get_close_matches
from importlib.resources import files
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from sideshake.core.errors import Faults, InputError
from sideshake.movement.lines import SheetSection, text_of
from sideshake.movement.plain import Plain
from sideshake.movement.sheet import CalibreSheet, LineSource, meaning, section_of
from sideshake.movement.sheet_text import Tree, is_sourced, tree_of
from sideshake.movement.written_lines import line_of

SHIPPED = files("sideshake.movement") / "calibres"
ENDING = ".toml"


def shipped_names() -> list[str]:
    """Return the names of the calibre sheets that come with the program."""
    names = (each.name for each in SHIPPED.iterdir())
    return sorted(name.removesuffix(ENDING) for name in names if name.endswith(ENDING))


def shipped_text(name: str) -> str:
    """Return the text of one of the calibre sheets that come with the program.

    Raises
    ------
    InputError : no sheet of that name is shipped
    """
    if name not in shipped_names():
        raise InputError(
            f"there is no file {name!r} and no sheet of that name comes with the program; "
            f"there are {', '.join(shipped_names())}"
        )
    return (SHIPPED / f"{name}{ENDING}").read_text(encoding="utf-8")


def shipped_sheet(name: str) -> CalibreSheet:
    """Return one of the calibre sheets that come with the program; as `shipped_text`."""
    return sheet_from_text(shipped_text(name))


def sheet_at(place: str) -> CalibreSheet:
    """Return the sheet in a file, or the shipped one of that name.

    Raises
    ------
    InputError : there is neither, or the sheet has a fault
    """
    path = Path(place)
    if not path.is_file():
        if path.suffix == ENDING:
            raise InputError(f"there is no file {place}")
        return shipped_sheet(place)
    try:
        return sheet_from_text(path.read_text(encoding="utf-8"))
    except UnicodeDecodeError as error:
        raise InputError(f"{place} is not a UTF-8 text: {error.reason}") from None


def sheet_from_text(text: str) -> CalibreSheet:
    """Return the sheet written in a TOML text.

    A line may be a plain value or `{ value = "0.92+-0.01", source = "...", from_memory = true }`.
    A plain number has the doubt of its kind (`movement.plain`).

    Raises
    ------
    InputError : the text is no TOML
    Faults : some line has a fault; each is named with its meaning
    """
    return sheet_of(tree_of(text))


def sheet_of(written: Tree) -> CalibreSheet:
    """Return the sheet in a tree of tables, which stays as it was written.

    Raises
    ------
    Faults : some line has a fault; each is named with its meaning
    """
    sources: list[LineSource] = []
    plain = without_sources(written, (), sources)
    if sources:
        plain["sources"] = [*plain.get("sources", []), *(each.model_dump() for each in sources)]
    try:
        return CalibreSheet.model_validate(plain, context=plain_numbers(plain))
    except ValidationError as error:
        raise Faults(tuple((key_of(each), fault_text(each)) for each in error.errors())) from None


def plain_numbers(written: Tree) -> Plain:
    """Return what the sheet says of its plain numbers; a fault there is told when it is checked."""
    try:
        u_mm = float(text_of(written.get("u_mm")))
    except ValueError:
        return Plain()
    return Plain(u_mm=u_mm) if u_mm > 0 else Plain()


def without_sources(written: Any, place: tuple[str, ...], sources: list[LineSource]) -> Any:
    """Return the tree with sourced lines made plain; their sources are appended to `sources`."""
    if isinstance(written, list):
        return [
            without_sources(each, (*place, str(row)), sources) for row, each in enumerate(written)
        ]
    if not isinstance(written, dict):
        return written
    if is_sourced(written):
        line = line_of(written)
        sources.append(
            LineSource(key=".".join(place), text=line.source, from_memory=line.from_memory)
        )
        return line.value
    return {key: without_sources(each, (*place, key), sources) for key, each in written.items()}


def key_of(fault: Any) -> str:
    """Return the dotted key of the line that has a fault."""
    return ".".join(str(part) for part in fault["loc"])


def fault_text(fault: Any) -> str:
    """Return one fault as "key (meaning): what is wrong"."""
    place = [str(part) for part in fault["loc"]]
    key = key_of(fault)
    if fault["type"] == "extra_forbidden":
        return f"{key}: no such line{close_to(place)}"
    said = str(fault["msg"]).removeprefix("Value error, ")
    if fault["type"] == "missing":
        said = "this line must be there"
    elif fault["type"] == "int_type":
        said = f"a whole number belongs here, such as 15; got {fault['input']!r}"
    elif fault["type"] == "string_pattern_mismatch":
        said = f'a hand time looks like "21:30", got {fault["input"]!r}'
    elif fault["type"] != "value_error":
        said = f"{said}, got {fault['input']!r}"
    return f"{key} ({meaning(key)}): {said}" if key else said


def close_to(place: list[str]) -> str:
    """Return a hint at the known key that looks most like the unknown one."""
    section: type[SheetSection] = CalibreSheet
    for part in place[:-1]:
        if not part.isdigit():
            section = section_of(section.model_fields[part].annotation) or SheetSection
    close = get_close_matches(place[-1], section.model_fields, n=2, cutoff=0.4)
    return f"; did you mean {' or '.join(close)}?" if close else ""
