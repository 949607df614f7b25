"""Wrong calibre sheets: sound ones with one slip of the pen, drawn at random from a seed.

The kinds of slip are those people make: another unit, a factor of 10, 100 or 1000, the sign, the
radius for the diameter, a zero, absurd teeth, a name that points nowhere. Nothing in here knows
what the check looks for: every kind of slip and every line it can befall are equally likely.
"""

import copy
import json
import math
import random
import tomllib
from dataclasses import dataclass

UNITS = {
    "_mm": {"micrometres": 1000, "centimetres": 0.1, "inches": 1 / 25.4, "lignes": 1 / 2.2558},
    "_deg": {"radians": math.pi / 180, "turns": 1 / 360, "minutes of arc": 60},
    "_h": {"minutes": 60, "seconds": 3600, "days": 1 / 24},
    "_min": {"seconds": 60, "hours": 1 / 60},
    "_gpa": {"MPa": 1000, "kgf/mm2": 102},
    "_mg": {"grams": 1e-3, "micrograms": 1000},
    "_mg_cm2": {"g mm2": 0.1, "g cm2": 1e-3, "kg m2": 1e-10},
    "_per_hour": {"a second": 1 / 3600, "a minute": 1 / 60, "hertz": 1 / 7200, "a day": 24},
    "_share": {"per cent": 100},
}
DIAMETERS = {
    *("pivot_mm", "hole_mm", "outside_mm", "bore_mm", "core_mm", "diameter_mm"),
    *("shoulder_above_mm", "shoulder_below_mm"),
}
COUNTS = {
    *("teeth", "wheel", "pinion", "wheel_teeth", "cannon_pinion", "minute_wheel"),
    *("minute_pinion", "hour_wheel", "winding_pinion", "crown_wheel", "crown_wheel_out"),
    *("ratchet_wheel", "driver_wheel"),
}
POINTERS = {"driven_by", "reference", "arbor", "key"}
NOBODY = ("fifht", "third wheel", "minute", "Nobody", "the usual one", "wheel 3", "arbor")


@dataclass(frozen=True, slots=True)
class Wrong:
    """One wrong sheet: its text, and the slip that was made."""

    text: str
    kind: str
    slip: str


def wrong_sheets(sound, many, *, seed):
    """Return so many wrong sheets, made from the texts of sound ones."""
    rng = random.Random(seed)
    trees = [tomllib.loads(text) for text in sound]
    made = []
    while len(made) < many:
        kind = rng.choice(list(KINDS))
        tree = copy.deepcopy(rng.choice(trees))
        before = copy.deepcopy(tree)
        slip = KINDS[kind](rng, tree)
        if slip and tree != before:
            made.append(Wrong(text=toml_text(tree), kind=kind, slip=f"{tree['name']}: {slip}"))
    return made


def lines(tree, place=()):
    """Yield every line as (the table it stands in, its key, its dotted place)."""
    pairs = tree.items() if isinstance(tree, dict) else enumerate(tree)
    for key, value in pairs:
        here = (*place, str(key))
        if isinstance(value, dict) and "value" in value:
            yield value, "value", here
        elif isinstance(value, dict | list):
            yield from lines(value, here)
        else:
            yield tree, key, here


def number_of(value):
    """Return a line's number and its doubt as written; None where it holds no number."""
    if isinstance(value, bool):
        return None
    if isinstance(value, int | float):
        return value, None
    head, _, tail = str(value).partition("+-")
    try:
        return float(head), float(tail) if tail else None
    except ValueError:
        return None


def numbers(tree):
    """Return the lines that hold a number."""
    return [each for each in lines(tree) if number_of(each[0][each[1]]) is not None]


def written(like, value, doubt):
    """Return a number in the form in which the line had it."""
    if isinstance(like, int):
        return round(value)
    if isinstance(like, str):
        tail = "" if doubt is None else f"+-{doubt:.6g}"
        return f"{value:.6g}{tail}"
    return float(f"{value:.6g}")


def scaled(line, factor, *, doubt_too):
    """Write a line's number times a factor; return the slip in words."""
    table, key, place = line
    value, doubt = number_of(table[key])
    if doubt is not None and doubt_too:
        doubt *= abs(factor)
    old, table[key] = table[key], written(table[key], value * factor, doubt)
    return f"{'.'.join(place)} {old} -> {table[key]}"


def other_unit(rng, tree):
    """Write one line in another unit."""
    found = [
        (line, unit, factor)
        for line in numbers(tree)
        for ending, units in UNITS.items()
        if f"_{line[2][-1]}".endswith(ending)
        for unit, factor in units.items()
    ]
    line, unit, factor = rng.choice(found)
    return f"{scaled(line, factor, doubt_too=True)} ({unit})"


def factor_of(size):
    """Return the slip of a decimal point."""

    def slip(rng, tree):
        factor = rng.choice([size, 1 / size])
        return scaled(rng.choice(numbers(tree)), factor, doubt_too=rng.random() < 0.5)

    return slip


def other_sign(rng, tree):
    """Write one line with the other sign."""
    return scaled(rng.choice(numbers(tree)), -1, doubt_too=False)


def radius_for_diameter(rng, tree):
    """Write a radius where a diameter belongs, or a diameter for a radius."""
    found = [line for line in numbers(tree) if line[2][-1] in DIAMETERS or "radius" in line[2][-1]]
    line = rng.choice(found)
    return scaled(line, 2 if "radius" in line[2][-1] else 0.5, doubt_too=True)


def zero(rng, tree):
    """Write 0 in one line."""
    table, key, place = rng.choice(numbers(tree))
    old, table[key] = table[key], 0 if isinstance(table[key], int) else written(table[key], 0, None)
    return f"{'.'.join(place)} {old} -> {table[key]}"


def absurd_teeth(rng, tree):
    """Write an absurd number of teeth, or many times as many in wheel and pinion alike."""
    arbors = tree.get("train", {}).get("arbors", [])
    if rng.random() < 0.5 and len(arbors) > 2:
        place = rng.randrange(1, len(arbors))
        times = rng.choice([10, 20, 34, 50])
        tree.get("barrel", {}).pop("teeth", None)
        arbors[place - 1]["wheel"] *= times
        arbors[place]["pinion"] *= times
        return f"{arbors[place]['name']}: pinion and its wheel {times} times as many"
    table, key, place = rng.choice([line for line in numbers(tree) if line[2][-1] in COUNTS])
    old, table[key] = table[key], rng.choice([1, 2, 3, 340, 500, 999, 2000])
    return f"{'.'.join(place)} {old} -> {table[key]}"


def name_nowhere(rng, tree):
    """Write a name that nothing has."""
    found = [line for line in lines(tree) if line[2][-1] in POINTERS]
    arbors = tree.get("train", {}).get("arbors", [])
    if arbors and rng.random() < 0.25:
        row = rng.choice(arbors[1:])
        row["driven_by"] = rng.choice(NOBODY)
        return f"{row['name']}.driven_by -> {row['driven_by']}"
    if not found:
        return ""
    table, key, place = rng.choice(found)
    old, table[key] = table[key], rng.choice(NOBODY)
    return f"{'.'.join(place)} {old} -> {table[key]}"


KINDS = {
    "another unit": other_unit,
    "factor 10": factor_of(10),
    "factor 100": factor_of(100),
    "factor 1000": factor_of(1000),
    "sign": other_sign,
    "radius for diameter": radius_for_diameter,
    "zero": zero,
    "absurd teeth": absurd_teeth,
    "name nowhere": name_nowhere,
}


def toml_text(tree):
    """Return the tree as TOML; tables within lists stand in line."""
    head = [f"{key} = {inline(value)}" for key, value in tree.items() if not is_table(value)]
    tables = [
        "\n".join([f"[{key}]", *(f"{name} = {inline(each)}" for name, each in value.items())])
        for key, value in tree.items()
        if is_table(value)
    ]
    return "\n\n".join(["\n".join(head), *tables]) + "\n"


def is_table(value):
    """Return whether a value is a table of its own, not a line with its source."""
    return isinstance(value, dict) and "value" not in value


def inline(value):
    """Return a value as TOML writes it in a line."""
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {inline(each)}" for key, each in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(inline(each) for each in value) + "]"
    return json.dumps(value, ensure_ascii=False)
