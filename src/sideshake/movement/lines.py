"""The kinds of value a calibre sheet's lines may hold, each checked as it is read."""

from typing import Annotated, Any

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    StringConstraints,
    ValidationInfo,
)

from sideshake.core.errors import InputError
from sideshake.core.quantities import HOW_TO_WRITE, Measured
from sideshake.movement.plain import Plain, plain_u, unit_of


class SheetSection(BaseModel):
    """A table of the sheet: nothing but the known keys, and nothing changes after reading."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)


def line(meaning: str, example: object = None, **limits: Any) -> Any:
    """Return an optional line of the sheet: what it means and what one looks like."""
    return Field(default=None, description=meaning, examples=[example], **limits)


class WrittenFigure(float):
    """A number as it stood in a TOML file, its idle zeros kept: they tell how well it is known."""

    __slots__ = ("written",)
    written: str

    def __new__(cls, written: str) -> "WrittenFigure":
        """Return the number with its text beside it."""
        made = super().__new__(cls, written)
        made.written = written
        return made


def text_of(written: object) -> str:
    """Return a number, or several readings of one size, as text; refuse anything else."""
    if isinstance(written, list | tuple) and written:
        return " ".join(text_of(each) for each in written)
    if isinstance(written, WrittenFigure):
        return written.written.replace("_", "")
    if isinstance(written, bool) or not isinstance(written, int | float | str):
        raise InputError(f"a number belongs here, got {written!r}: {HOW_TO_WRITE}")
    return str(written)


def as_measured(written: object, info: ValidationInfo) -> Measured:
    """Return a number, a text such as "0.52+-0.01", or a list of readings as a measured value.

    A plain number is exact; read with `Plain` as context, it has the doubt of its kind.
    """
    if isinstance(written, Measured):
        return written
    name, text = info.field_name or "", text_of(written)
    found = Measured.parse(text, unit_of(name))
    if found.u or not isinstance(info.context, Plain):
        return found
    return Measured(found.value, plain_u(name, text, info.context))


def above_zero(written: object, info: ValidationInfo) -> Measured:
    """Return a measured value that must be above 0."""
    measured = as_measured(written, info)
    if measured.value <= 0:
        raise InputError(f"it must be above 0, got {measured.text()}")
    return measured


def not_below_zero(written: object, info: ValidationInfo) -> Measured:
    """Return a measured value that may be 0 but not less."""
    measured = as_measured(written, info)
    if measured.value < 0:
        raise InputError(f"it cannot be negative, got {measured.text()}")
    return measured


def a_share(written: object, info: ValidationInfo) -> Measured:
    """Return a measured value between 0 and 1."""
    measured = not_below_zero(written, info)
    if measured.value > 1:
        raise InputError(f"a share is between 0 and 1, got {measured.text()}")
    return measured


Size = Annotated[Measured, BeforeValidator(above_zero)]
Gap = Annotated[Measured, BeforeValidator(not_below_zero)]
Signed = Annotated[Measured, BeforeValidator(as_measured)]
Share = Annotated[Measured, BeforeValidator(a_share)]
Teeth = Annotated[int, Field(ge=1, strict=True)]
HandTime = Annotated[str, StringConstraints(pattern=r"^([01]?\d|2[0-3]):[0-5]\d$")]
