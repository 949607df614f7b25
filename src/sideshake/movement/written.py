"""Written tables checked against what they should hold; every fault is named with its key."""

from typing import Any, TypeVar

from pydantic import ValidationError

from sideshake.core.errors import InputError
from sideshake.movement.lines import SheetSection

Read = TypeVar("Read", bound=SheetSection)


def laid_over(written: dict[str, Any], changes: dict[str, Any]) -> dict[str, Any]:
    """Return the tree with dotted keys replaced; a change that is None changes nothing.

    Examples
    --------
    >>> laid_over({"above": {"hole_mm": 1}}, {"above.hole_mm": 2, "below.hole_mm": None})
    {'above': {'hole_mm': 2}}
    """
    tree = {key: dict(each) if isinstance(each, dict) else each for key, each in written.items()}
    for dotted, value in changes.items():
        if value is not None:
            *table, key = dotted.split(".")
            (tree.setdefault(table[0], {}) if table else tree)[key] = value
    return tree


def checked(model: type[Read], written: dict[str, Any], place: str) -> Read:
    """Return the tree as its model; every fault is named with its key."""
    try:
        return model.model_validate(written)
    except ValidationError as error:
        faults = "; ".join(fault_text(each) for each in error.errors())
        raise InputError(f"{place}: {faults}") from None


def fault_text(fault: Any) -> str:
    """Return one fault as "key: what is wrong"."""
    key = ".".join(str(part) for part in fault["loc"])
    if fault["type"] == "extra_forbidden":
        return f"{key}: no such line"
    said = str(fault["msg"]).removeprefix("Value error, ")
    return (
        f"{key}: {said}"
        if fault["type"] == "value_error"
        else f"{key}: {said}, got {fault['input']!r}"
    )
