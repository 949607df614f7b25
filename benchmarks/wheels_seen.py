"""Wheels in photographs: drawn ones with known teeth, and real photographs that hold no wheel.

Drawn: plain and hard ones with 0 to 5 teeth missing (target: 60 of 60 counted right), harmed ones,
and 200 that few could count (target: no wrong count; a refusal is right). Real, from outside the
project (`../shared/data/photo`): the coin whose regulation gives it seven notches, coins and rings
without teeth (target: no wrong count).
"""

import argparse
import sys
from collections import Counter
from pathlib import Path

import numpy as np
from show import mark, say, show

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests"))

from drawn_wheels import drawn_wheel
from real_rounds import FOLDER, real_rounds
from wheel_cases import harmed, hostile, numbered, shedding
from wheel_cases import mark as marked

from sideshake.core.errors import NotEnough
from sideshake.photo.tooth import ToothState
from sideshake.photo.wheel import wheel

WITHIN = 0.005


def seen(drawn, at):
    """Return what is made of a drawn wheel, or none if it is refused."""
    try:
        return wheel(drawn_wheel(drawn), at, inside=drawn.inside, first=marked(drawn))
    except NotEnough:
        return None


def tell_shedding(name, cases):
    """Print how many were counted right, which lost teeth were named, and the diameters."""
    tally, teeth, errors = Counter(), Counter(), []
    for drawn, at in cases:
        found = seen(drawn, at)
        tally[
            "refused" if found is None else "right" if found.teeth == drawn.teeth else "WRONG"
        ] += 1
        if found is None or found.teeth != drawn.teeth:
            continue
        errors.append(error_of(found, drawn))
        lost = set(numbered(drawn, drawn.lost))
        for tooth in found.each:
            teeth["lost" if tooth.number in lost else "there", tooth.state] += 1
    count = sum(tally.values())
    say(f"{name}: {tally['right']} of {count} counted right, {tally['refused']} refused, "
        f"{tally['WRONG']} wrong: {mark(tally['right'] == count)}")  # fmt: skip
    show(f"{name}: teeth", ("in truth", *ToothState), [
        [there, *(str(teeth[there, state]) for state in ToothState)] for there in ("lost", "there")
    ])  # fmt: skip
    tell_diameters(errors)


def error_of(found, drawn):
    """Return the error of the tip diameter as a share, and whether the 95 % interval holds."""
    return found.tip_px.value / (2 * drawn.tip) - 1, found.tip_px.holds(2 * drawn.tip), drawn.form


def tell_diameters(errors):
    """Print errors of the tip diameter by the form of tooth."""
    rows = []
    for form in sorted({each[2] for each in errors}):
        off = np.array([each[0] for each in errors if each[2] == form])
        holds = np.array([each[1] for each in errors if each[2] == form])
        figures = (f"{100 * off.mean():+.2f} %", f"{100 * off.std():.2f} %")
        most = f"{100 * np.abs(off).max():.2f} %"
        rows.append([form, *figures, most, f"{holds.sum()} of {len(holds)}"])
    show("Tip diameter", ("teeth", "mean error", "sd", "largest", "95 % holds"), rows)
    within = sum(abs(each[0]) <= WITHIN for each in errors)
    say(f"{within} of {len(errors)} within 0.5 %: {mark(within >= 0.95 * len(errors))}")


def tell_harmed(count):
    """Print what was said of teeth that were harmed in a known way."""
    kinds = ("broken", "missing", "thin", "bent")
    said = Counter()
    for drawn, at in harmed(count, 21):
        found = seen(drawn, at)
        if found is None or found.teeth != drawn.teeth:
            said["refused", "refused"] += 1
            continue
        truth = {tooth: "missing" if left == 0 else "broken" for tooth, left in drawn.lost.items()}
        truth |= dict.fromkeys(drawn.thin, "thin") | dict.fromkeys(drawn.bent, "bent")
        by_number = {numbered(drawn, [tooth])[0]: kind for tooth, kind in truth.items()}
        for tooth in found.each:
            said[by_number.get(tooth.number, "sound"), tooth.state] += 1
    title = f"Harmed teeth on {count} wheels ({said['refused', 'refused']} refused)"
    rows = [[kind, *(str(said[kind, each]) for each in ToothState)] for kind in (*kinds, "sound")]
    show(title, ("in truth", *ToothState), rows)


def tell_hostile(count):
    """Print how many of the wheels that few could count were counted wrong."""
    tally = Counter()
    for number, (drawn, at) in enumerate(hostile(count, 31)):
        found = seen(drawn, at)
        verdict = "refused" if found is None else "right" if found.teeth == drawn.teeth else "wrong"
        if verdict == "wrong" and halved(found, drawn):
            verdict = "every second one lost (half as many seen, as told)"
        if verdict == "wrong":
            say(f"  wrong: number {number}, {found.teeth} for {drawn.teeth} ({drawn.form})")
        tally[verdict] += 1
    words = ", ".join(f"{many} {verdict}" for verdict, many in sorted(tally.items()))
    say(f"Hostile: {words}: {mark(tally['wrong'] == 0)}")


def halved(found, drawn):
    """Return whether every second tooth was lost, which no picture can tell, and it is said so."""
    gone = {tooth for tooth, left in drawn.lost.items() if left == 0}
    alternate = 2 * found.teeth == drawn.teeth and len({tooth % 2 for tooth in gone}) == 1
    return alternate and found.wide_gaps


def tell_real():
    """Print what is made of real photographs of coins and rings."""
    if not FOLDER.exists():
        say("The photographs are not in ../shared/data/photo: not judged.")
        return
    tally = Counter()
    for name, light, at, teeth in real_rounds():
        try:
            found = wheel(light, at).teeth
        except NotEnough:
            found = None
        verdict = "refused" if found is None else "right" if found == teeth else "WRONG"
        tally[name, verdict] += 1
    names = sorted({name for name, _ in tally})
    verdicts = ("right", "refused", "WRONG")
    rows = [[name, *(str(tally[name, verdict]) for verdict in verdicts)] for name in names]
    show("Real photographs", ("what", *verdicts), rows)
    say(f"No wrong count: {mark(all(tally[name, 'WRONG'] == 0 for name in names))}")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="a tenth of the wheels")
    part = 10 if parser.parse_args().quick else 1
    tell_shedding("Plain wheels, 0 to 5 teeth missing", shedding(30 // part, 11, hard=False))
    tell_shedding("Hard wheels (oil, dirt, tilt)", shedding(30 // part, 12, hard=True))
    tell_harmed(60 // part)
    tell_hostile(200 // part)
    tell_real()
