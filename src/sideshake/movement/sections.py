"""Sections of the calibre sheet for the works beside the train; lines as in `sheet`."""

from typing import Literal

from sideshake.movement.lines import Gap, HandTime, SheetSection, Size, Teeth, line


class Escapement(SheetSection):
    """The escapement. Without this section it is taken for a lever escapement with jewels."""

    kind: Literal["lever", "pin lever", "cylinder"] | None = line(
        "which escapement: lever (club-tooth or ratchet-tooth), pin lever, cylinder", "lever"
    )


class Driving(SheetSection):
    """What drives the train. Without this section it is one going barrel without stop work."""

    barrels: Literal["one", "two in series", "two in parallel"] | None = line(
        "how many barrels; two in series add their turns, two in parallel their torque "
        "(both alike, geared 1 to 1)",
        "one",
    )
    stop_work: Literal["none", "maltese cross", "finger", "fusee stop"] | None = line(
        "what stops the winding and the running down", "none"
    )


class Fusee(SheetSection):
    """The fusee: a cone on which the barrel pulls by a chain, so that the force stays even."""

    turns: Size | None = line("turns of the chain on the fusee", 4)
    least_radius_mm: Size | None = line(
        "radius at which the chain pulls when fully wound, at the narrow end", 3.2
    )
    largest_radius_mm: Size | None = line(
        "radius at which the chain pulls when run down, at the wide end", 5.2
    )
    barrel_radius_mm: Size | None = line("outside radius of the barrel the chain lies on", 8.0)
    set_up_turns: Gap | None = line(
        "turns the barrel's spring is set up when the chain is all on the barrel", 0.5
    )


class Balance(SheetSection):
    """The balance and what it swings on."""

    inertia_mg_cm2: Size | None = line("moment of inertia", "12+-1.0")
    mass_mg: Size | None = line("mass of the balance with its staff and roller", 60)
    pivot_mm: Size | None = line("diameter of the balance pivots", 0.10)
    quality_factor: Size | None = line("quality factor of the free balance", "200+-80")
    rim: str | None = line("what the rim is made of", "brass")
    spring: str | None = line("what the hairspring is made of", "self-compensating alloy")
    spring_shape: Literal["flat", "overcoil"] | None = line("shape of the hairspring", "flat")
    regulating: Literal["index", "free-sprung"] | None = line(
        "what the rate is set with: an index with pins, or weights on the balance", "index"
    )


class Calendar(SheetSection):
    """The work of the date, or of the day: by its geometry, or by three hand times watched."""

    change: Literal["slow", "semi-instantaneous", "instantaneous"] | None = line(
        "how the date changes", "semi-instantaneous"
    )
    drive_turn_h: Size | None = line("hours in which the driving wheel turns once", 24)
    finger_arc_deg: Size | None = line(
        "angle of the driving wheel over which its finger can touch the ring's teeth", 60
    )
    arc_before_jump_deg: Gap | None = line("the part of that angle before the jump", 45)
    finger_radius_mm: Size | None = line("radius from driving wheel's centre to finger tip", 2.60)
    driver_offset_mm: Size | None = line("from the ring's centre to the driving wheel's", 7.40)
    ring_teeth_radius_mm: Size | None = line("radius of the ring's inner tooth tips", 9.74)
    first_touch: HandTime | None = line(
        "hand time at which the ring first moves or resists", "21:00"
    )
    jump: HandTime | None = line("hand time at which the date jumps", "00:00")
    free: HandTime | None = line("hand time at which the finger is free again", "01:00")
    watched_to_min: Size | None = line("standard uncertainty of these times, in minutes", 5)
    quick_set: bool | None = line("whether the date can be set on its own", True)
    dial_shows_half_day: bool | None = line("whether the dial tells morning from evening", False)
    polymer_wheel: str | None = line(
        "the polymer wheel in the setting work, if there is one", "corrector"
    )


class Chronograph(SheetSection):
    """The chronograph on top of the train."""

    coupling: Literal["swinging wheel", "oscillating pinion", "vertical clutch"] | None = line(
        "how the chronograph is coupled to the train", "swinging wheel"
    )
    wheel_teeth: Teeth | None = line("teeth of the chronograph seconds wheel", 200)
    coupling_module_mm: Size | None = line("module of the coupling's fine teeth", 0.04)
    driven_by: str | None = line("the arbor that drives the coupling", "fourth")
    minute_counter: Teeth | None = line("minutes on the minute counter", 30)
    hour_counter: Teeth | None = line("hours on the hour counter", 12)
    works_over_barrel: bool | None = line("whether its parts lie close over the barrel", True)


class Automatic(SheetSection):
    """The rotor and the way to the ratchet wheel."""

    rotor_turns_per_arbor_turn: Size | None = line(
        "useful turns of the rotor for one turn of the barrel arbor", 130
    )
    both_ways: bool | None = line("whether the rotor winds in both directions", True)
    rim_radius_mm: Size | None = line("radius of the rotor's rim", 12.4)
    bearing: Literal["post", "ball"] | None = line("plain post or ball bearing", "post")
    bearing_span_mm: Size | None = line(
        "length of the bearing along the post, or diameter of the ball race", 1.30
    )
    play_mm: Gap | None = line("play of a new bearing: hole minus post", "0.010+-0.006")
    gap_case_back_mm: Gap | None = line("free gap from the rim to the case back", 0.30)
    gap_bridge_mm: Gap | None = line("free gap from the rim to the bridges", 0.25)
