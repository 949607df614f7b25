"""The drawings of the owner's report: the barrel as it leans, holes before and after.

Most watches have no measured sizes: what judges and draws them is loaded where there are some.
"""

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.documents.blocks import Picture
from sideshake.web.models import Measurement, Visit
from sideshake.wording import Language, spoken
from sideshake.wording import gettext as _

if TYPE_CHECKING:
    from sideshake.drawings.hole_pair import HoleDrawn, HolePair
    from sideshake.wear.verdict import Verdict

Sizes = dict[tuple[str, bool], Measured]
"""Sizes by key, and whether they were measured after the work."""


def drawings_of(visit: Visit) -> tuple[Picture, ...]:
    """Return the section through the barrel, when its sizes were measured and judged."""
    if not visit.measurements.all():
        return ()
    from sideshake.drawings.section import section_alone, section_of
    from sideshake.drawings.svg import svg_text
    from sideshake.web.measuring.services import judged

    known = judged(visit)
    if known.verdict is None or known.lying is None or not known.is_judged:
        return ()
    lying = known.lying
    view = section_of(lying.calibre, lying.found, lying.bench, known.verdict)
    view = replace(view, sentence=lean_words(known.verdict))
    drawing = section_alone(view)
    data = svg_text(drawing).encode()
    scale = drawing.description.removeprefix(f"{view.sentence} ")
    caption = _("The barrel as it was measured, at its greatest lean. {scale}").format(scale=scale)
    return (Picture(name="section.svg", data=data, alt=drawing.description, caption=caption),)


def lean_words(verdict: "Verdict") -> str:
    """Return what the section shows, for who cannot see it.

    The verdict's own sentence is in English; what an owner is told of it stands for it elsewhere.
    """
    if spoken() is Language.ENGLISH:
        return verdict.sentence
    from sideshake.workshop_rules.suggest import evidence

    return evidence(verdict)[0]


def holes_before_and_after(visit: Visit) -> Iterator[Picture]:
    """Yield each of the barrel's holes that was measured before and after the work."""
    if not any(row.after for row in visit.measurements.all()):
        return
    from sideshake.drawings.hole_pair import hole_pair_drawing
    from sideshake.drawings.svg import svg_text

    sizes = {
        (row.key, row.after): size_of(row)
        for row in visit.measurements.all()
        if row.value is not None
    }
    for place, name in (("above", _("Hole in the bridge")), ("below", _("Hole in the plate"))):
        pair = pair_of(sizes, place, name)
        if pair is not None:
            drawing = hole_pair_drawing(pair)
            data = svg_text(drawing).encode()
            yield Picture(name=f"hole-{place}.svg", data=data, alt=drawing.description)


def size_of(row: Measurement) -> Measured:
    """Return a stored size; a length without an uncertainty has the usual one."""
    from sideshake.wear.sizes import with_default
    from sideshake.web.measuring.services import USUAL_U_MM

    size = Measured(row.value or 0.0, row.u or 0.0)
    return with_default(size, USUAL_U_MM) if row.key.endswith("_mm") else size


def pair_of(sizes: Sizes, place: str, name: str) -> "HolePair | None":
    """Return a hole before and after; None when it was not measured both times."""
    from sideshake.drawings.hole_pair import HolePair

    before, after = hole_at(sizes, place, after=False), hole_at(sizes, place, after=True)
    pivot = sizes.get((f"{place}.pivot_mm", True)) or sizes.get((f"{place}.pivot_mm", False))
    if before is None or after is None or pivot is None:
        return None
    try:
        return HolePair(name=name, pivot_mm=pivot, before=before, after=after)
    except InputError:
        return None  # sizes that cannot be beside each other: the table still shows them


def hole_at(sizes: Sizes, place: str, *, after: bool) -> "HoleDrawn | None":
    """Return a hole as it was measured: by both axes, or by one diameter; None if it was not."""
    from sideshake.drawings.hole_pair import HoleDrawn

    long_mm, short_mm = (sizes.get((f"{place}.hole_{way}_mm", after)) for way in ("long", "short"))
    if long_mm and short_mm:
        turn = sizes.get((f"{place}.long_axis_deg", after), Measured(0.0)).value
        return HoleDrawn(long_mm=long_mm, short_mm=short_mm, long_axis_deg=turn)
    one = sizes.get((f"{place}.hole_mm", after))
    return HoleDrawn(long_mm=one) if one else None
