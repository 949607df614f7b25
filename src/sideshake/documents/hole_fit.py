"""One hole's fit as it lies beside the plate: what goes in, the way there, what to note."""

from collections.abc import Iterator
from dataclasses import dataclass

from sideshake.core.quantities import Measured
from sideshake.documents.blocks import Picture
from sideshake.drawings.jewel_views import hole_words, outside_words
from sideshake.drawings.seat import Seated, seat_drawing
from sideshake.drawings.svg import svg_text
from sideshake.fit.jewel import (
    HOLE_TOLERANCE_MM,
    OUTSIDE_TOLERANCE_MM,
    REAMER_OVERCUT_MM,
    SOUND_INTERFERENCE_MM,
    Fit,
    as_made,
)
from sideshake.fit.materials import RUBY
from sideshake.fit.tooling import FLUSH_MM, depth_words
from sideshake.wear.rubbing import chance_words
from sideshake.wear.verdict import BearingPlace
from sideshake.workshop_rules.repair import Repair

METAL = {BearingPlace.ABOVE: "bridge", BearingPlace.BELOW: "plate"}


@dataclass(frozen=True, slots=True, kw_only=True)
class ToNote:
    """A size to be measured at the bench, and what it should come to; `expected` may be empty."""

    what: str
    expected: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleFit:
    """One hole's fit."""

    title: str
    facts: tuple[tuple[str, str], ...]
    drawing: Picture
    steps: tuple[str, ...]
    cautions: tuple[str, ...]
    to_note: tuple[ToNote, ...]


def hole_fit(
    repair: Repair, *, in_drawer_mm: tuple[float, ...] = (), endshake_mm: Measured | None = None
) -> HoleFit:
    """Return one hole's fit; the repair's cuts tell the reamers.

    Parameters
    ----------
    in_drawer_mm : the reamers at hand; those wanted that are not among them are named
    endshake_mm : what is wanted after the work
    """
    part, metal = repair.fit.part, METAL[repair.place]
    kind = "jewel" if part.material == RUBY else "bush"
    return HoleFit(
        title=(f"Hole {repair.place} ({metal}): {part.material.name} {kind} {part.sizes} mm"),
        facts=tuple(facts(repair, in_drawer_mm)),
        drawing=drawing_of(repair),
        steps=repair.plan.steps,
        cautions=tuple(map(str, repair.plan.cautions)),
        to_note=(
            *hole_notes(repair),
            *part_notes(repair),
            ToNote(what="Endshake after", expected=endshake_mm.text() if endshake_mm else ""),
        ),
    )


def facts(repair: Repair, in_drawer_mm: tuple[float, ...]) -> Iterator[tuple[str, str]]:
    """Yield what is known of the fit beforehand."""
    seat, fit = repair.seat, repair.fit
    part = as_made(fit)
    yield "Now", f"pivot {seat.pivot_mm.text()} mm in a hole of up to {seat.old_hole_mm:.3f} mm"
    yield "Part", f"hole {hole_words(part)}, outside {outside_words(part)}; {fit.origin}"
    yield "Reamers", reamer_words(repair, in_drawer_mm)
    yield "Interference", interference_words(fit)
    depth = repair.plan.depth_mm
    yield "Press to", depth_words(depth) if depth else "flush with the inner surface"
    yield "Play after", f"{span(*seat.play_mm)} mm wanted ({chance_words(fit.play.inside)})"


def interference_words(fit: Fit) -> str:
    """Return what the reamer's cut leaves, and what is sound."""
    middle = Measured(fit.interference.middle_mm, fit.interference.u_mm)
    least, most = REAMER_OVERCUT_MM
    return (
        f"{middle.text()} mm expected, as a reamer cuts {least:.3f} to {most:.3f} over its size; "
        f"sound: {span(*SOUND_INTERFERENCE_MM)} ({chance_words(fit.interference.inside)})"
    )


def reamer_words(repair: Repair, in_drawer_mm: tuple[float, ...]) -> str:
    """Return the reamers in turn, and which of them are not at hand."""
    sizes = [cut.reamer_mm for cut in repair.plan.cuts]
    words = f"{', '.join(f'{size:.2f}' for size in sizes)} mm"
    at_hand = {round(each, 3) for each in in_drawer_mm}
    missing = [size for size in sizes if round(size, 3) not in at_hand]
    if not missing:
        return words
    if len(missing) == len(sizes):
        return f"{words}; all missing, get them before you begin"
    named = ", ".join(f"{size:.2f}" for size in missing)
    return f"{words}; missing, get these before you begin: {named}"


def hole_notes(repair: Repair) -> Iterator[ToNote]:
    """Yield the hole after each reamer, which cuts over its size."""
    least, most = REAMER_OVERCUT_MM
    for cut in repair.plan.cuts:
        size = cut.reamer_mm
        yield ToNote(what=f"Hole after {size:.2f}", expected=span(size + least, size + most))


def part_notes(repair: Repair) -> Iterator[ToNote]:
    """Yield the part before and after pressing, and the play it gives."""
    outside, held = as_made(repair.fit).outside_mm, OUTSIDE_TOLERANCE_MM
    yield ToNote(what="Part, outside", expected=span(outside - held, outside + held))
    yield ToNote(what="Outside minus hole", expected=span(*SOUND_INTERFERENCE_MM))
    yield ToNote(what="Face below the surface", expected=depth_expected(repair))
    yield pressed_note(repair)
    yield ToNote(what="Side shake after", expected=span(*repair.seat.play_mm))


def pressed_note(repair: Repair) -> ToNote:
    """Return the bore in its seat: a jewel's may have closed, a bush's is opened to its size."""
    part = repair.fit.part
    if part.material != RUBY:
        return ToNote(what="Bush opened to", expected=f"{part.hole_mm:.3f}")
    least = part.hole_mm - HOLE_TOLERANCE_MM - repair.fit.press.bore_closing_mm
    return ToNote(
        what="Its hole, pressed in", expected=span(least, part.hole_mm + HOLE_TOLERANCE_MM)
    )


def span(low_mm: float, high_mm: float) -> str:
    """Return two limits as text."""
    return f"{low_mm:.3f} to {high_mm:.3f}"


def depth_expected(repair: Repair) -> str:
    """Return how deep the face should lie."""
    depth = repair.plan.depth_mm
    return depth.text() if depth else span(*FLUSH_MM)


def drawing_of(repair: Repair) -> Picture:
    """Return the part in its seat, to scale."""
    depth = repair.plan.depth_mm
    drawing = seat_drawing(
        Seated(
            name=METAL[repair.place],
            seat=repair.seat,
            part=repair.fit.part,
            depth_mm=depth.value if depth else 0.0,
            reamers_mm=tuple(cut.reamer_mm for cut in repair.plan.cuts),
            inner_is_up=repair.place is BearingPlace.BELOW,
        )
    )
    return Picture(
        name=f"seat-{repair.place}.svg",
        data=svg_text(drawing).encode(),
        alt=drawing.description,
    )
