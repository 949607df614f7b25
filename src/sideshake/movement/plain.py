"""How well a plain number of a calibre sheet is known: the doubt of its kind, and its unit."""

from dataclasses import dataclass

from sideshake.core.quantities import Measured

EXACT = frozenset(
    {
        "drive_turn_h", "watched_to_min", "least_hanging_24h_deg", "chronograph_drop_deg",
        "shortened_mm", "index_deg", "rate_wanted_s_per_day", "weight_ug", "warmer_c",
    }
)  # fmt: skip
"""Set by gearing or by decision, changes that are asked about, or themselves an uncertainty."""
USUAL_U = {
    "elastic_gpa": 5.0,
    "free_turns": 1.5,
    "viscous_share": 0.15,
    "efficiency": 0.025,
    "lying_full_deg": 10.0,
    "hanging_full_deg": 10.0,
    "lying_24h_deg": 10.0,
    "hanging_24h_deg": 10.0,
}
"""Standard uncertainty of a plain figure whose last digit says too little (from memory: springs of
one kind, sound movements of one calibre; the modulus covers 200 to 220 GPa)."""
COUNTED_U = {"stop_work_turns": 0.05}
"""The same of what is counted, whatever its last digit: where a stop lets go (own estimate)."""
USUAL_SHARE = {"quality_factor": 0.2}
"""The same as a share of the figure (from memory)."""
SHARES = frozenset({"efficiency", "viscous_share"})
"""Between 0 and 1; may be written in per cent as well."""
UNITS = {
    "_mm": "mm", "_deg": "°", "_gpa": "GPa", "_mg_cm2": "mg·cm²", "_mg": "mg", "_min": "min",
    "_h": "h", "_s": "s", "_s_per_day": "s a day", "_ug": "µg", "_c": "°C",
}  # fmt: skip
"""What a line is in, by the end of its name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plain:
    """What a sheet says of its plain numbers: the standard uncertainty of a length, if any."""

    u_mm: float | None = None


def unit_of(name: str) -> str:
    """Return the unit at the end of a line's name, empty where there is none.

    Examples
    --------
    >>> unit_of("hole_mm"), unit_of("inertia_mg_cm2"), unit_of("free_turns")
    ('mm', 'mg·cm²', '')
    """
    if name in SHARES:
        return "%"
    return next((unit for end, unit in UNITS.items() if name.endswith(end)), "")


def typed(name: str, text: str) -> Measured:
    """Return what a person typed for that name; a plain number is known to its last digit.

    Examples
    --------
    >>> typed("length_mm", "105").text(), typed("warmer_c", "10").text()
    ('105.0 ± 0.6', '10')
    """
    if name in EXACT:
        return Measured.parse(text, unit_of(name))
    return Measured.read(text, unit_of(name))


def plain_u(name: str, text: str, sheet: Plain) -> float:
    """Return the standard uncertainty of a plain number in the line of that name.

    A length has what the sheet says of its lengths; everything else, and a length of which the
    sheet says nothing, half of its last digit as a limit, or what is usual for its kind if that is
    more.

    Examples
    --------
    >>> f"{plain_u('hole_mm', '0.92', Plain()):.4f}", plain_u("hole_mm", "0.92", Plain(u_mm=0.005))
    ('0.0029', 0.005)
    >>> plain_u("elastic_gpa", "205", Plain()), plain_u("drive_turn_h", "24", Plain())
    (5.0, 0.0)
    """
    if name in EXACT:
        return 0.0
    if name.endswith("_mm") and sheet.u_mm is not None:
        return sheet.u_mm
    if name in COUNTED_U:
        return COUNTED_U[name]
    read = Measured.read(text, unit_of(name))
    return max(read.u, USUAL_U.get(name, 0.0), USUAL_SHARE.get(name, 0.0) * abs(read.value))
