"""A jewel or bush fitted to one hole, and how likely it fits."""

from dataclasses import dataclass, field

from sideshake.core.quantities import Measured
from sideshake.fit.jewel import Fit
from sideshake.fit.materials import Material
from sideshake.fit.workshop import WorkshopTools
from sideshake.wear.rubbing import chance_short
from sideshake.wear.verdict import BearingPlace, Verdict
from sideshake.workshop_rules.repair import Lying, Repair, part_material, repair

MEMORY = (
    "From memory or common practice, no source: standard sizes, 0.01 mm under, a reamer's overcut, "
    "sound interference from 0.003 to 0.012 mm, wall round the hole, makers' tolerances, friction. "
    "What holds the part is a range from the least interference, friction and length to the most."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class FittingWish:
    """What the workshop has to hand, and a metal that is wished; else what the verdict asks for."""

    tools: WorkshopTools = field(default_factory=WorkshopTools)
    made_of: Material | None = None


AS_JUDGED = FittingWish()


def fit_jewel(
    lying: Lying,
    place: BearingPlace,
    judged: Verdict,
    *,
    reference: str,
    wish: FittingWish = AS_JUDGED,
) -> Repair:
    """Return the new part for one hole, how it sits, and the way there.

    Parameters
    ----------
    lying : the watch on the bench, as `on_bench.laid_out` makes it
    judged : the verdict on it, which says whether a jewel or a bush is meant
    reference : what the part is known by, such as the visit's number

    Raises
    ------
    InputError : a size that cannot be, or is missing for a part; says which
    NotEnough : no part fits; says why
    """
    made_of = wish.made_of or part_material(judged)
    return repair(lying, place, made_of=made_of, tools=wish.tools, reference=reference)


def fit_rows(fit: Fit) -> tuple[tuple[str, ...], ...]:
    """Return play and interference: the middle (mm), how likely it ends inside the limits, which
    tolerance to tighten, and how likely then."""
    return tuple(
        (
            name,
            Measured(chance.middle_mm, chance.u_mm).text(),
            chance_short(chance.inside),
            chance.tighten or "nothing",
            chance_short(chance.inside_if_tightened),
        )
        for name, chance in (("play", fit.play), ("interference", fit.interference))
    )
