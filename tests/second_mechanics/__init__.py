"""A second mind on how a mainspring barrel leans, from the physics alone.

It shares nothing with `sideshake.wear` and was written without reading it. The contact in the holes
is found by letting the loads do the most work that the holes allow (a convex problem, solved by an
interior-point method that also bounds its own error), not by asking which case of statics applies.

    from second_mechanics import random_barrels, solve
    answer = solve(random_barrels()[0])
    answer.running.lean_deg, answer.running.moved_mm(0.75), answer.running.gap_bridge_mm()

The frame: z along the arbor, up is the bridge side, 0 at the middle of the lower bearing, the upper
bearing's middle at `span_mm`. Directions in degrees from 3 o'clock, counter-clockwise seen from the
bridge. Lengths in mm, forces in N. No friction, no weight. First order in the lean.
"""

from second_mechanics.barrel import Barrel, Hole, Line, read
from second_mechanics.contact import Rest, rest
from second_mechanics.drawn import random_barrels
from second_mechanics.stances import (
    Answer,
    Free,
    Loaded,
    over_click_places,
    over_crown_places,
    solve,
)

__all__ = [
    "Answer",
    "Barrel",
    "Free",
    "Hole",
    "Line",
    "Loaded",
    "Rest",
    "over_click_places",
    "over_crown_places",
    "random_barrels",
    "read",
    "rest",
    "solve",
]
