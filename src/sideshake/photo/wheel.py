"""A wheel in a photograph: how many teeth, what became of each, how wide over the tips."""

import math
from dataclasses import dataclass

import numpy as np

from sideshake.core.errors import NotEnough
from sideshake.core.quantities import Measured
from sideshake.photo.blob import Blob, Picture, blobs, require_picture
from sideshake.photo.comb import Comb, comb_of, combs, run_out, settled
from sideshake.photo.lengths import scaled
from sideshake.photo.tips import tip_diameter
from sideshake.photo.tooth import Tooth, ToothState, teeth_of
from sideshake.photo.unrolled import SeenCircle, UnrolledRing, unrolled, unrolled_again

TWELVE_O_CLOCK = math.pi / 2
LEAST_PROBABILITY = 0.99
LEAST_PITCH_PX = 7.0
MOST_TILT_DEG = 16.0
MOST_BLUR = 0.17
"""Of a pitch (standard deviation)."""
MOST_COVERED = 0.3
WIDE_GAPS = 1 / 3
"""Teeth narrower than so much of their pitch leave room for as many again between them."""
NEAR = 2.0
"""A wheel is less than so many times as wide as the outline of its spokes or windows."""

NO_TEETH = (
    "no ring of even teeth is seen round this point; press the middle of the wheel, take all of it "
    "sharply, on plain ground or lit from behind"
)
TWO_COUNTS = (
    "the teeth can be counted in more than one way ({ways}); clean the wheel, lay it flat and "
    "photograph it again"
)
TOO_SMALL = (
    "a pitch is only {pitch:.1f} pixels wide, and it must be {least:.0f}; go nearer, or crop less"
)
BLURRED = "the teeth are not sharp (blurred over {blur:.0%} of a pitch); focus on them, hold still"
SLANTING = "the wheel lies at a slant (about {tilt:.0f} degrees); lay it square to the camera"
COVERED = "{share:.0%} of the teeth are covered by oil or dirt; clean the wheel"


@dataclass(frozen=True, slots=True, kw_only=True)
class CountedWheel:
    """A counted wheel; lengths in pixels of the photograph unless the name says mm.

    `probability` is that the number of teeth is right if they were cut evenly. Teeth are numbered
    clockwise as seen. `tip_px` is the diameter over the tips, `root_px` the radius of the roots.
    `wide_gaps` says that there is room for a tooth in each gap: were every second tooth gone, it
    would look the same.
    """

    teeth: int
    probability: float
    each: tuple[Tooth, ...]
    tip_px: Measured
    mm_per_px: Measured | None
    root_px: float
    oval: SeenCircle
    tilt_deg: float
    blur_px: float
    inside: bool
    wide_gaps: bool

    @property
    def tip_mm(self) -> Measured | None:
        """Return the diameter over the tips in millimetres, None without a scale."""
        return scaled(self.tip_px, self.mm_per_px)

    def those(self, state: ToothState) -> tuple[int, ...]:
        """Return the numbers of the teeth in a state."""
        return tuple(tooth.number for tooth in self.each if tooth.state == state)


def wheel(
    light: Picture,
    at: tuple[float, float],
    *,
    inside: bool = False,
    first: tuple[float, float] | None = None,
    mm_per_px: Measured | None = None,
) -> CountedWheel:
    """Return the teeth of the wheel round a point.

    Parameters
    ----------
    light : shape (rows, columns), linear light, full scale 1
    at : x to the right and y down, pixels, near the middle of the wheel
    inside : the teeth point inwards, as a date ring's
    first : x and y of a point on tooth 1; without it, tooth 1 is nearest to 12 o'clock
    mm_per_px : the scale at the height of the teeth

    Raises
    ------
    InputError : the point lies outside the picture, or the picture is no such array
    NotEnough : the count is not certain; the message says what to do

    References
    ----------
    Area of each tooth: docs/photograph-wheel.md, where what was measured is told
    """
    require_picture(light, at)
    ring, comb = toothed(light, at, inside=inside)
    require_clear(ring, comb)
    start = TWELVE_O_CLOCK if first is None else angle_to(ring.oval, first)
    each = teeth_of(ring, comb, first=start)
    covered = np.mean([tooth.state is ToothState.COVERED for tooth in each])
    if covered > MOST_COVERED:
        raise NotEnough(COVERED.format(share=covered))
    return CountedWheel(
        teeth=comb.teeth,
        probability=comb.probability,
        each=each,
        tip_px=tip_diameter(ring, comb),
        mm_per_px=mm_per_px,
        root_px=ring.root,
        oval=ring.oval,
        tilt_deg=tilt_deg(ring),
        blur_px=ring.blur,
        inside=inside,
        wide_gaps=float(np.mean(comb.template > 0.5 * comb.template.max())) < WIDE_GAPS,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """An outline whose teeth can be counted; `reach` is its radius."""

    reach: float
    ring: UnrolledRing
    comb: Comb


@dataclass(frozen=True, slots=True, kw_only=True)
class Uncounted:
    """An outline whose teeth cannot be counted, and why; `uneven`: it is no plain circle either."""

    reach: float
    why: str = NO_TEETH
    uneven: bool = False


def toothed(light: Picture, at: tuple[float, float], *, inside: bool) -> tuple[UnrolledRing, Comb]:
    """Return the outline round the point whose teeth can be counted.

    An uneven outline just outside one that can be counted may be the wheel, and the other its
    spokes: then there is no count.

    Raises
    ------
    NotEnough : none can, or it is not clear that it is the wheel
    """
    looks = [looked(light, blob, inside=inside) for blob in blobs(light, at)]
    counted = [each for each in looks if isinstance(each, Counted)]
    others = [each for each in looks if isinstance(each, Uncounted)]
    best = min(counted, key=lambda each: each.comb.misfit, default=None)
    if best is None:
        raise NotEnough(worst_of(others))
    doubt = [each for each in others if each.uneven and 1.04 < each.reach / best.reach < NEAR]
    if doubt:
        raise NotEnough(worst_of(doubt))
    return told_better(light, best.ring, best.comb)


def told_better(light: Picture, ring: UnrolledRing, found: Comb) -> tuple[UnrolledRing, Comb]:
    """Return the outline by the oval that its teeth tell, counted again with the same number."""
    for _ in range(2):
        better = unrolled_again(light, ring, run_out(ring, found))
        again = comb_of(better, found.teeth)
        if again is None or not again.fits or again.misfit > found.misfit + 0.02:
            break
        ring, found = better, again
    return ring, found


def worst_of(looks: list[Uncounted]) -> str:
    """Return why there is no count: the reason of the largest outline that has one of its own."""
    own = [each.why for each in looks if each.why != NO_TEETH]
    return own[-1] if own else NO_TEETH


def looked(light: Picture, blob: Blob, *, inside: bool) -> Counted | Uncounted:
    """Return what one outline comes to."""
    try:
        ring = unrolled(light, blob, inside=inside)
    except NotEnough as reason:
        return Uncounted(reach=blob.high, why=str(reason))
    depth = float(np.quantile(ring.height, 0.95) - np.quantile(ring.height, 0.05))
    if depth < max(1.0, 0.01 * ring.root):
        return Uncounted(reach=blob.high)
    found = combs(ring)
    comb = settled(found)
    if comb is not None and comb.probability > LEAST_PROBABILITY:
        return Counted(reach=blob.high, ring=ring, comb=comb)
    ways = " or ".join(str(each.teeth) for each in found)
    why = TWO_COUNTS.format(ways=ways) if len(found) > 1 else NO_TEETH
    return Uncounted(reach=blob.high, why=why, uneven=True)


def require_clear(ring: UnrolledRing, comb: Comb) -> None:
    """Refuse what is too small, not sharp or too much at a slant to be trusted."""
    pitch = 2 * math.pi * ring.root / comb.teeth
    if pitch < LEAST_PITCH_PX:
        raise NotEnough(TOO_SMALL.format(pitch=pitch, least=LEAST_PITCH_PX))
    if ring.blur > MOST_BLUR * pitch:
        raise NotEnough(BLURRED.format(blur=ring.blur / pitch))
    if tilt_deg(ring) > MOST_TILT_DEG:
        raise NotEnough(SLANTING.format(tilt=tilt_deg(ring)))


def tilt_deg(ring: UnrolledRing) -> float:
    """Return by how much the wheel seems to lie at a slant."""
    return math.degrees(math.acos(1 - ring.oval.squeeze))


def angle_to(oval: SeenCircle, point: tuple[float, float]) -> float:
    """Return the angle of a point seen from the centre, in the wheel's plane."""
    across, up = point[0] - oval.x, oval.y - point[1]
    c, s = math.cos(oval.axis), math.sin(oval.axis)
    along, aside = across * c + up * s, (-across * s + up * c) / (1 - oval.squeeze)
    return math.atan2(aside, along) + oval.axis
