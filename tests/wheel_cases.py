"""Seeded sets of drawn wheels: plain, hard and harmed ones, and ones that ask to be refused."""

import numpy as np
from drawn_wheels import FORMS, Drawn

TEETH = {
    "involute": (15, 24, 31, 45, 60),
    "ogive": (60, 64, 70, 75, 80),
    "ratchet": (30, 40, 54, 60, 72),
    "date": (31, 31, 31, 31, 30),
    "saw": (15, 18, 20, 24, 30),
}


def pressed(drawn, rng):
    """Return a point pressed near the middle, within 3 % of the radius."""
    reach = 0.03 * drawn.tip
    return tuple(np.array(drawn.centre) + rng.uniform(-reach, reach, 2))


def mark(drawn):
    """Return a point on tooth 0."""
    along = np.array([np.cos(drawn.turn), -np.sin(drawn.turn)])
    return tuple(np.array(drawn.centre) + drawn.tip * along)


def numbered(drawn, teeth):
    """Return the numbers (clockwise, the marked tooth is 1) of drawn teeth, rising."""
    return tuple(sorted((-tooth) % drawn.teeth + 1 for tooth in teeth))


def lit(rng):
    """Return how metal and ground look: lit from the front on dark, or from behind."""
    if rng.random() < 0.5:
        ground, brushed = rng.uniform((0.03, 0), (0.12, 0.25))
        return {"metal": 0.55, "ground": ground, "brushed": brushed, "ink": 0.3}
    metal, ground = rng.uniform((0.02, 0.6), (0.08, 0.95))
    return {"metal": metal, "ground": ground}


def base(number, rng):
    """Return form, teeth, size and light of a wheel."""
    form = FORMS[number % len(FORMS)]
    inside = form == "date"
    return {
        "form": form,
        "inside": inside,
        "numerals": inside,
        "teeth": int(rng.choice(TEETH[form])),
        "tip": rng.uniform(110, 125) if inside else rng.uniform(135, 170),
        "depth": 14.0 if inside else 0.0,
        "turn": rng.uniform(0, 6),
        "seed": int(rng.integers(1 << 30)),
        **lit(rng),
    }


def soiled(rng):
    """Return what makes a photograph hard: oil, dirt, tilt, a slope of light, blur, noise."""
    return {
        "oil": int(rng.integers(0, 4)),
        "dirt": int(rng.integers(0, 5)),
        "tilt_deg": rng.uniform(0, 8),
        "tilt_axis": rng.uniform(0, 3),
        "slope": rng.uniform(-0.5, 0.5),
        "blur": rng.uniform(0.7, 1.4),
        "electrons": rng.uniform(1500, 8000),
    }


def some(teeth, count, rng):
    """Return so many different teeth."""
    return [int(tooth) for tooth in rng.permutation(teeth)[:count]]


def shedding(count, seed, *, hard):
    """Yield wheels with 0 to 5 teeth missing, and the point pressed."""
    rng = np.random.default_rng(seed)
    for number in range(count):
        given = base(number, rng)
        given["lost"] = dict.fromkeys(some(given["teeth"], number % 6, rng), 0.0)
        drawn = Drawn(**given, **(soiled(rng) if hard else {"tilt_deg": rng.uniform(0, 2)}))
        yield drawn, pressed(drawn, rng)


def harmed(count, seed):
    """Yield clean wheels with one tooth broken, one worn thin, one bent and one missing."""
    rng = np.random.default_rng(seed)
    for number in range(count):
        given = base(number, rng)
        broken, thin, bent, missing = some(given["teeth"], 4, rng)
        drawn = Drawn(
            **given,
            lost={broken: rng.uniform(0.35, 0.65), missing: 0.0},
            thin={thin: rng.uniform(0.2, 0.35)},
            bent={bent: rng.choice([-1, 1]) * rng.uniform(0.15, 0.3)},
            tilt_deg=rng.uniform(0, 3),
            tilt_axis=rng.uniform(0, 3),
        )
        yield drawn, pressed(drawn, rng)


def hostile(count, seed):
    """Yield wheels that few could count: half lost, filthy, blurred, tiny, tilted, cut off."""
    rng = np.random.default_rng(seed)
    ways = (half_lost, filthy, blurred, tiny, tilted, cut_off, shallow, alternate)
    for number in range(count):
        given = base(number // len(ways), rng) | soiled(rng)
        given |= ways[number % len(ways)](given, rng)
        drawn = Drawn(**given)
        yield drawn, pressed(drawn, rng)


def half_lost(given, rng):
    teeth = given["teeth"]
    start = int(rng.integers(teeth))
    row = [(start + step) % teeth for step in range(teeth // 2)]
    gone = row if rng.random() < 0.5 else some(teeth, teeth // 2, rng)
    return {"lost": dict.fromkeys(gone, 0.0)}


def filthy(given, rng):
    return {"dirt": int(rng.integers(8, 30)), "oil": int(rng.integers(5, 20))}


def blurred(given, rng):
    return {"blur": rng.uniform(2, 6)}


def tiny(given, rng):
    tip = rng.uniform(18, 60)
    return {"tip": tip, "depth": 0.1 * tip, "size": (140, 140), "centre": (70.2, 69.6)}


def tilted(given, rng):
    return {"tilt_deg": rng.uniform(8, 30)}


def cut_off(given, rng):
    return {"centre": (200.3 + rng.uniform(60, 190), 198.8)}


def shallow(given, rng):
    return {"depth": rng.uniform(0.5, 3), "blur": rng.uniform(0.7, 2)}


def alternate(given, rng):
    """Every second one lost but for a few, and some broken."""
    teeth = given["teeth"]
    gone = [tooth for tooth in range(0, teeth, 2) if rng.random() < 0.8]
    left = dict.fromkeys(gone, 0.0)
    return {"lost": left | {tooth: 0.5 for tooth in some(teeth, 3, rng) if tooth not in left}}
