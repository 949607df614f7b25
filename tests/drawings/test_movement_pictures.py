"""Train, torque and dial: the pictures say what the figures say, and nothing lies off the sheet."""

import itertools

import numpy as np
import pytest

from sideshake.core.errors import InputError
from sideshake.drawings.dial import angle_deg, dial_drawing
from sideshake.drawings.shapes import DrawnLine, Fill, Polyline, ShapeRole, Text
from sideshake.drawings.spring import torque_drawing
from sideshake.drawings.svg import svg_text
from sideshake.drawings.train import train_diagram
from sideshake.movement.calendar import common_advice, engagement_of, quick_set, rule_check
from sideshake.movement.mainspring import room_of, spring_of, torque_curve
from sideshake.movement.sections import Calendar
from sideshake.movement.sheet import Train
from sideshake.movement.sheet_file import shipped_names, shipped_sheet
from sideshake.movement.train import train_of


def train_picture(name):
    return train_diagram(train_of(shipped_sheet(name)), title=name)


def torque_picture(name, hours=8.0):
    sheet = shipped_sheet(name)
    curve = torque_curve(room_of(sheet), spring_of(sheet))
    return torque_drawing(curve, title=name, hours_per_turn=hours)


def dial_picture(**changes):
    forbidden = quick_set(engagement_of(Calendar(finger_arc_deg=60, arc_before_jump_deg=45)))
    return dial_drawing(forbidden, rule_check(forbidden), title="Watch", **changes)


def points(drawing):
    for shape in drawing.shapes:
        if isinstance(shape, Polyline):
            yield from shape.points
        elif isinstance(shape, DrawnLine):
            yield from (shape.start, shape.end)
        elif isinstance(shape, Text):
            yield shape.at


def words(drawing):
    return " | ".join(each.words for each in drawing.shapes if isinstance(each, Text))


PICTURES = [
    *(train_picture(name) for name in shipped_names()),
    *(torque_picture(name) for name in shipped_names()),
    dial_picture(warning="Polymer part: the corrector."),
]


@pytest.mark.parametrize("drawing", PICTURES, ids=[each.title for each in PICTURES])
def test_nothing_lies_off_the_sheet(drawing):
    for x, y in points(drawing):
        assert 0 <= x <= drawing.width
        assert 0 <= y <= drawing.height
    assert svg_text(drawing).startswith("<svg")


@pytest.mark.parametrize("drawing", PICTURES, ids=[each.title for each in PICTURES])
def test_no_line_of_words_lies_on_another(drawing):
    # A letter is about half its height wide; two lines at one place would share a corner.
    spots = [each for each in drawing.shapes if isinstance(each, Text)]
    for one, other in itertools.combinations(spots, 2):
        near = abs(one.at[1] - other.at[1]) < 0.8 * min(one.height, other.height)
        assert not (near and abs(one.at[0] - other.at[0]) < 2.0), (one.words, other.words)


def test_wheel_and_pinion_touch_at_the_pitch_circle():
    drawing = train_picture("tarnbrook-31")
    wheels = [s for s in drawing.shapes if isinstance(s, Polyline) and s.fill is Fill.BRASS]
    pinions = [s for s in drawing.shapes if isinstance(s, Polyline) and s.fill is Fill.STEEL]
    for wheel, pinion in zip(wheels, pinions, strict=True):
        assert wheel.points[1][0] == pytest.approx(pinion.points[0][0])
    width = wheels[0].points[1][0] - wheels[0].points[0][0]
    assert width == pytest.approx(2 * 5.60 * drawing.scale)


def test_the_train_is_named_with_its_counts_and_times():
    said = words(train_picture("tarnbrook-31"))
    for part in ("80 teeth", "7 leaves, one in 0.8571 s", "one turn in 8 h", "seconds hand"):
        assert part in said


def test_a_train_of_unknown_sizes_says_so():
    train = train_of(shipped_sheet("tarnbrook-31"))
    arbors = tuple(each.model_copy(update={"pinion_module_mm": None}) for each in train.arbors)
    said = words(train_diagram(train.model_copy(update={"arbors": arbors}), title="A"))
    assert "not to scale" in said
    assert "module 0" not in said


def test_a_train_of_one_arbor_cannot_be_drawn():
    alone = Train(arbors=train_of(shipped_sheet("tarnbrook-31")).arbors[:1])
    with pytest.raises(InputError, match="no mesh"):
        train_diagram(alone, title="A")


def test_the_torque_curve_falls_from_left_to_right():
    lines = [s for s in torque_picture("tarnbrook-31").shapes if isinstance(s, Polyline)]
    curve = next(s for s in lines if s.fill is Fill.NONE)
    across = np.array(sorted(curve.points))
    assert (np.diff(across[:, 1]) < 0).all()


def test_the_band_is_as_wide_as_the_doubt():
    # 8.6 +- 2.2 mN m (95 %) fully wound: above and below the curve alike
    shapes = torque_picture("tarnbrook-31").shapes
    chains = [s for s in shapes if isinstance(s, Polyline)]
    band, curve = (next(s for s in chains if s.closed is closed) for closed in (True, False))
    wound = len(curve.points) - 1
    high, middle, low = (
        float(each[1]) for each in (band.points[wound], curve.points[wound], band.points[wound + 1])
    )
    bottom = min(s.start[1] for s in shapes if isinstance(s, DrawnLine) and s.start[1] == s.end[1])
    assert high - middle == pytest.approx(middle - low)
    assert (high - middle) / (middle - bottom) == pytest.approx(2.2 / 8.6, rel=0.03)


def test_the_day_is_marked_when_hours_are_known():
    assert "after 24 h: 76 % is left" in words(torque_picture("tarnbrook-31"))
    assert "24 h" not in words(torque_picture("tarnbrook-31", hours=None))
    assert "24 h" not in words(torque_picture("tarnbrook-31", hours=2.0))


def test_twelve_is_at_the_top_and_three_at_the_right():
    assert angle_deg(12, 12) % 360 == 90
    assert angle_deg(3, 12) % 360 == 0
    assert angle_deg(6, 24) % 360 == 0


def test_ruby_covers_the_forbidden_hours_only():
    ruby = [s for s in dial_picture().shapes if isinstance(s, Polyline) and s.fill is Fill.DANGER]
    (band,) = ruby
    centre = np.array([75.0, 92.0])
    angles = np.degrees([np.arctan2(*(np.array(p) - centre)) for p in band.points]) % 360
    hours = angles / 30
    # 45 and 15 degrees without uncertainty and 1 h of margin: 20:00 to 2:00.
    assert all(h >= 8 - 1e-9 or h <= 2 + 1e-9 for h in hours)
    assert min(h for h in hours if h > 6) == pytest.approx(8)
    assert max(h for h in hours if h < 6) == pytest.approx(2)


def test_the_dial_says_in_words_what_the_colours_say():
    said = words(dial_picture())
    assert "do not set" in said
    assert "safe" in said
    assert "NOT safe" in said


def test_a_full_day_dial_has_twenty_four_figures():
    forbidden = quick_set(engagement_of(Calendar(finger_arc_deg=60)), shows_half_day=True)
    drawing = dial_drawing(forbidden, rule_check(forbidden), title="A")
    assert "24" in words(drawing).split(" | ")


def test_a_rule_that_holds_is_told_with_what_is_left():
    advice = common_advice()
    drawing = dial_drawing(advice, rule_check(advice, start_h=5, end_h=7), title="A")
    assert "is safe, 1 h 00 min from the nearest" in words(drawing).replace(" | ", " ")


def test_a_warning_is_drawn_in_ruby():
    texts = [s for s in dial_picture(warning="Polymer part").shapes if isinstance(s, Text)]
    assert any(s.role is ShapeRole.DANGER and "Polymer" in s.words for s in texts)
