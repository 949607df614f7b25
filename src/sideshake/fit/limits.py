"""Limits of size up to 3 mm by ISO 286-1, and how likely a fit ends inside its limits.

Micrometres. The first step of the standard runs from 0 to 3 mm: its grades are coarse for a watch
(IT6 is 6 µm, as much as a balance pivot's play), so makers use finer limits of their own; the
letters are here because drawings use them.
"""

import re
from dataclasses import dataclass

from sideshake.core.errors import InputError

LARGEST_MM = 3.0
GRADES_UM = {
    "01": 0.3, "0": 0.5, "1": 0.8, "2": 1.2, "3": 2.0, "4": 3.0, "5": 4.0, "6": 6.0, "7": 10.0,
    "8": 14.0, "9": 25.0, "10": 40.0, "11": 60.0, "12": 100.0, "13": 140.0, "14": 250.0,
    "15": 400.0, "16": 600.0, "17": 1000.0, "18": 1400.0,
}  # fmt: skip
"""ISO 286-1, standard tolerances of the first step. The general formulas give IT01 to IT4, and IT5
to IT8 within 1.4 µm; from IT9 on the first step stands above them (see the tests)."""
SHAFT_DEVIATIONS_UM = {
    "d": -20.0, "e": -14.0, "f": -6.0, "g": -2.0, "h": 0.0, "k": 0.0, "m": 2.0, "n": 4.0, "p": 6.0,
    "r": 10.0, "s": 14.0, "u": 18.0, "x": 20.0, "z": 26.0,
}  # fmt: skip
"""Fundamental deviations of shafts in the first step: d to h the upper limit, k to z the lower."""
BELOW_ZERO_LINE = "defgh"
J_HOLES_UM = {"6": 2.0, "7": 4.0, "8": 6.0}
"""J has no formula: the upper limits of J6, J7, J8."""
_CLASS = re.compile(r"^(js|JS|[a-zA-Z])(01|\d{1,2})$")


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeLimits:
    """Lowest and highest deviation from the nominal size, micrometres."""

    lower_um: float
    upper_um: float

    def __post_init__(self) -> None:
        if self.lower_um > self.upper_um:
            raise InputError(
                f"the lower limit {self.lower_um:g} µm lies above the upper {self.upper_um:g} µm"
            )

    @property
    def width_um(self) -> float:
        """Return the tolerance: upper less lower limit."""
        return self.upper_um - self.lower_um

    def text(self) -> str:
        """Return the limits as on a drawing, in mm: "+0.010/0".

        Examples
        --------
        >>> SizeLimits(lower_um=0, upper_um=10).text(), SizeLimits(lower_um=-5, upper_um=5).text()
        ('+0.010/0', '±0.005')
        """
        if self.lower_um == -self.upper_um and self.upper_um:
            return f"±{self.upper_um / 1000:.3f}"
        return "/".join(deviation_text(each) for each in (self.upper_um, self.lower_um))


def deviation_text(deviation_um: float) -> str:
    """Return one deviation in mm with its sign; a plain 0 has none."""
    return f"{deviation_um / 1000:+.3f}".replace("-", "−") if deviation_um else "0"


def limits(tolerance_class: str, nominal_mm: float) -> SizeLimits:
    """Return the limits of a tolerance class such as "H7" (hole) or "g6" (shaft) up to 3 mm.

    Raises
    ------
    InputError : the size is not above 0 and up to 3 mm, or the class is not one of those held here

    References
    ----------
    ISO 286-1:2010, first step; holes mirror shafts (no correction up to 3 mm)

    Examples
    --------
    >>> limits("H7", 1.2)
    SizeLimits(lower_um=0.0, upper_um=10.0)
    """
    if not 0 < nominal_mm <= LARGEST_MM:
        raise InputError(f"limits are held for sizes above 0 up to 3 mm, got {nominal_mm:g} mm")
    written = _CLASS.match(tolerance_class)
    if not written or written[2] not in GRADES_UM:
        raise InputError(f"{tolerance_class!r} is no tolerance class; write H7, js6, g5 ...")
    letter, grade = written[1], written[2]
    width = GRADES_UM[grade]
    if letter.lower() == "js":
        return SizeLimits(lower_um=-width / 2, upper_um=width / 2)
    if letter == "J":
        return j_hole(grade, width)
    shaft = shaft_limits(letter.lower(), width)
    return shaft if letter.islower() else mirrored(shaft)


def shaft_limits(letter: str, width_um: float) -> SizeLimits:
    """Return a shaft's limits from its letter and the width of its grade."""
    if letter not in SHAFT_DEVIATIONS_UM:
        held = " ".join(SHAFT_DEVIATIONS_UM)
        raise InputError(f"deviation {letter!r} is not held here; there are js, J and {held}")
    base = SHAFT_DEVIATIONS_UM[letter]
    if letter in BELOW_ZERO_LINE:
        return SizeLimits(lower_um=base - width_um, upper_um=base)
    return SizeLimits(lower_um=base, upper_um=base + width_um)


def mirrored(shaft: SizeLimits) -> SizeLimits:
    """Return the hole whose limits are those of the shaft with the signs turned."""
    return SizeLimits(lower_um=0.0 - shaft.upper_um, upper_um=0.0 - shaft.lower_um)


def j_hole(grade: str, width_um: float) -> SizeLimits:
    """Return the limits of J6, J7 or J8."""
    if grade not in J_HOLES_UM:
        raise InputError(f"J{grade} is not held here; there are J6, J7 and J8")
    return SizeLimits(lower_um=J_HOLES_UM[grade] - width_um, upper_um=J_HOLES_UM[grade])


def clearance(hole: SizeLimits, shaft: SizeLimits) -> SizeLimits:
    """Return the least and the largest clearance of a fit; below 0 it is interference.

    Examples
    --------
    >>> clearance(limits("H7", 2.0), limits("p6", 2.0))
    SizeLimits(lower_um=-12.0, upper_um=4.0)
    """
    return SizeLimits(
        lower_um=hole.lower_um - shaft.upper_um, upper_um=hole.upper_um - shaft.lower_um
    )
