"""The escapements a sheet may name: their lift angle, their amplitude, and what can be heard."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sideshake.core.errors import NotEnough
from sideshake.movement.bounds import Bounds, bounds

if TYPE_CHECKING:  # a reading knows its escapement, and must not wait for the sheets to load
    from sideshake.movement.sheet import CalibreSheet

KNOCKING_DEG = 330.0
"""Where the impulse pin begins to hit the fork's outside; sources say 330 to nearly 360 degrees
(trade-facts 3.5.18, disputed)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EscapementLimits:
    """What an escapement of a kind does and shows.

    `healthy_deg` and `tolerated_deg` are what a sound and an old watch swing, lying, fully wound.
    `noises` counts the noises of one beat that can be told apart; `unheard` says why the amplitude
    cannot be heard, `losses_unknown` why the model of losses does not hold; empty where they can.
    """

    name: str
    lift_deg: Bounds
    lying_deg: Bounds
    noises: int
    least_jewels: int
    healthy_deg: float
    tolerated_deg: float
    unheard: str = ""
    losses_unknown: str = ""


LEVER = EscapementLimits(
    name="lever",
    lift_deg=bounds((30, 75), (38, 60), "48 to 54, 38 to 60 at most", fact="3.5.1, 3.5.2"),
    lying_deg=bounds((150, 340), (200, 325), "270 to 315 when sound", fact="3.5.5 to 3.5.7"),
    noises=3,
    least_jewels=7,
    healthy_deg=270.0,  # trade-facts 3.5.5, 3.5.6
    tolerated_deg=220.0,  # trade-facts 3.5.7
)
PIN_LEVER = EscapementLimits(
    name="pin lever",
    lift_deg=bounds((30, 80), (40, 68)),
    lying_deg=bounds((130, 330), (170, 290)),
    noises=3,
    least_jewels=1,
    healthy_deg=220.0,
    tolerated_deg=180.0,
)
CYLINDER = EscapementLimits(
    name="cylinder",
    lift_deg=bounds((20, 70), (30, 50)),
    lying_deg=bounds((70, 260), (90, 200)),
    noises=1,
    least_jewels=1,
    healthy_deg=140.0,
    tolerated_deg=110.0,
    unheard=(
        "a tooth of the escape wheel rests on the cylinder except while it gives its impulse, so "
        "there is no unlocking to hear and no lift to time"
    ),
    losses_unknown=(
        "a tooth of the escape wheel rubs on the cylinder all the time, which the model of viscous "
        "and dry friction at the balance does not know"
    ),
)
KINDS = {each.name: each for each in (LEVER, PIN_LEVER, CYLINDER)}
"""Figures of pin lever and cylinder are from memory, without a source."""


def limits_of(sheet: "CalibreSheet | None") -> EscapementLimits:
    """Return the limits of the sheet's escapement; a lever's where nothing is known."""
    kind = sheet.escapement.kind if sheet and sheet.escapement else None
    return KINDS[kind or LEVER.name]


def unheard_amplitude(sheet: "CalibreSheet | None") -> str:
    """Return why the amplitude cannot be heard; empty where it can, or nothing is known.

    Examples
    --------
    >>> from sideshake.movement.sheet_file import shipped_sheet
    >>> unheard_amplitude(shipped_sheet("vennick-41"))[:31]
    'not for a cylinder escapement: '
    >>> unheard_amplitude(shipped_sheet("tolvane-26"))
    ''
    """
    return why_unheard(limits_of(sheet))


def why_unheard(limits: EscapementLimits) -> str:
    """Return why the amplitude of such an escapement cannot be heard; empty where it can."""
    return f"not for a {limits.name} escapement: {limits.unheard}" if limits.unheard else ""


def require_heard_amplitude(sheet: "CalibreSheet") -> None:
    """Refuse to judge the amplitude of an escapement that does not let it be heard.

    Raises
    ------
    NotEnough : the sheet's escapement is of such a kind; the message says why
    """
    if why := unheard_amplitude(sheet):
        raise NotEnough(why)


def require_loss_model(sheet: "CalibreSheet") -> None:
    """Refuse to reckon with the balance's losses where the model of them does not hold.

    Raises
    ------
    NotEnough : the sheet's escapement is of such a kind; the message says why
    """
    limits = limits_of(sheet)
    if limits.losses_unknown:
        raise NotEnough(f"not for a {limits.name} escapement: {limits.losses_unknown}")
