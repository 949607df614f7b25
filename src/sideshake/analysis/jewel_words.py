"""What is said of a new jewel or bush: what to fit, how likely it fits, and what that rests on."""

from sideshake.analysis.jewel import Repair
from sideshake.core.quantities import Measured
from sideshake.fit.jewel import Fit, Origin
from sideshake.fit.materials import RUBY
from sideshake.wear.rubbing import chance_short, chance_words

MEMORY = (
    "From memory or common practice, no source: standard sizes, 0.01 mm under, a reamer's overcut, "
    "sound interference from 0.003 to 0.012 mm, wall round the hole, makers' tolerances, friction. "
    "What holds the part is a range from the least interference, friction and length to the most."
)


def repair_sentence(each: Repair) -> str:
    """Return what to fit and where it comes from, in plain words."""
    part, kind = each.fit.part, "jewel" if each.fit.part.material == RUBY else "bush"
    origin = {
        Origin.DRAWER: f"from the drawer ({part.name})",
        Origin.STANDARD: "a stock size",
        Origin.ORDER: "made to order",
    }[each.fit.origin]
    return (
        f"{each.reference}, hole {each.place}: fit a {part.material.name} {kind} "
        f"{part.sizes} mm, {origin}; "
        f"its play will be right with a probability of {chance_words(each.fit.play.inside)}. "
        f"{each.fit.hold.words}"
    )


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
