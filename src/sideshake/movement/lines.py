"""The kinds of value a calibre sheet's lines may hold, each checked as it is read."""

from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints

from sideshake.errors import InputError
from sideshake.quantities import Measured


class Section(BaseModel):
    """A table of the sheet: nothing but the known keys, and nothing changes after reading."""

    model_config = ConfigDict(frozen=True, extra="forbid", str_strip_whitespace=True)


def line(meaning: str, example: object = None, **limits: Any) -> Any:
    """Return an optional line of the sheet: what it means and what one looks like."""
    return Field(default=None, description=meaning, examples=[example], **limits)


def as_measured(written: object) -> Measured:
    """Return the number or the text "0.52+-0.01" as a measured value."""
    if isinstance(written, Measured):
        return written
    if isinstance(written, bool) or not isinstance(written, int | float | str):
        raise InputError(f'a number or a text such as "0.52+-0.01" belongs here, got {written!r}')
    return Measured.parse(str(written))


def above_zero(written: object) -> Measured:
    """Return a measured value that must be above 0."""
    measured = as_measured(written)
    if measured.value <= 0:
        raise InputError(f"it must be above 0, got {measured.text()}")
    return measured


def not_below_zero(written: object) -> Measured:
    """Return a measured value that may be 0 but not less."""
    measured = as_measured(written)
    if measured.value < 0:
        raise InputError(f"it cannot be negative, got {measured.text()}")
    return measured


def a_share(written: object) -> Measured:
    """Return a measured value between 0 and 1."""
    measured = not_below_zero(written)
    if measured.value > 1:
        raise InputError(f"a share is between 0 and 1, got {measured.text()}")
    return measured


Size = Annotated[Measured, BeforeValidator(above_zero)]
Gap = Annotated[Measured, BeforeValidator(not_below_zero)]
Signed = Annotated[Measured, BeforeValidator(as_measured)]
Share = Annotated[Measured, BeforeValidator(a_share)]
Teeth = Annotated[int, Field(ge=1, strict=True)]
HandTime = Annotated[str, StringConstraints(pattern=r"^([01]?\d|2[0-3]):[0-5]\d$")]
