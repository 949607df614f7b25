"""How high the letters on a PDF are, in points on the paper, read from its drawing operators.

ISO 32000-1: 8.3.4 (how matrices are put together), 9.3 and 9.4.2 (size and place of text).
"""

import io
import math
from dataclasses import dataclass, replace

import pikepdf

MM_PER_PT = 25.4 / 72
UNIT = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


def times(one, other):
    """Return the matrix that does `one` first and then `other`."""
    a, b, c, d, e, f = one
    g, h, i, j, k, m = other
    return (a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j,
            e * g + f * i + k, e * h + f * j + m)  # fmt: skip


@dataclass(frozen=True)
class State:
    """What the operators before have set."""

    here: tuple = UNIT
    size: float = 0.0
    line: tuple = UNIT
    fill: tuple = (0.0,)


@dataclass(frozen=True)
class Letters:
    """Letters shown at once: how high, in which colour (grey, RGB), how many."""

    high_pt: float
    fill: tuple
    count: int
    page: int
    at_mm: tuple
    """From the page's left and from its foot."""


def letters_on(data: bytes) -> list[Letters]:
    """Return all letters of a PDF."""
    with pikepdf.open(io.BytesIO(data)) as pdf:
        return [
            each
            for number, page in enumerate(pdf.pages, start=1)
            for each in shown(page.obj, page.obj.get("/Resources", {}), State(), number)
        ]


def shown(stream, resources, state, page):
    """Yield the letters of a content stream and of the forms in it."""
    kept = []
    for operands, operator in pikepdf.parse_content_stream(stream):
        name = str(operator)
        if name == "q":
            kept.append(state)
        elif name == "Q":
            state = kept.pop()
        elif name in ("Tj", "TJ", "'", '"'):
            yield letters(operands, state, page)
        elif name == "Do":
            form = resources["/XObject"][operands[0]]
            if form.get("/Subtype") == "/Form":
                placed = times(numbers(form.get("/Matrix", UNIT)), state.here)
                own = form.get("/Resources", resources)
                yield from shown(form, own, replace(state, here=placed), page)
        else:
            state = changed(state, name, operands)


def changed(state, name, operands):
    """Return the state after an operator that shows nothing."""
    if name == "cm":
        return replace(state, here=times(numbers(operands), state.here))
    if name == "Tf":
        return replace(state, size=float(operands[1]))
    if name == "BT":
        return replace(state, line=UNIT)
    if name == "Tm":
        return replace(state, line=numbers(operands))
    if name in ("sc", "scn", "rg", "g") and operands:
        return replace(state, fill=numbers(operands))
    return state


def letters(operands, state, page):
    across = times(state.line, state.here)
    high = state.size * math.hypot(across[2], across[3])
    parts = operands[-1] if isinstance(operands[-1], pikepdf.Array) else [operands[-1]]
    count = sum(len(bytes(part)) for part in parts if isinstance(part, pikepdf.String))
    at_mm = (across[4] * MM_PER_PT, across[5] * MM_PER_PT)
    return Letters(high_pt=high, fill=state.fill, count=count, page=page, at_mm=at_mm)


def numbers(operands):
    return tuple(float(each) for each in operands if not isinstance(each, pikepdf.Name))
