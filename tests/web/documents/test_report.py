"""Rounds in the owner's report."""

from heard_rounds import SPOT, hear, heard_round

from sideshake.web.documents.report import positions_of


def told(visit):
    return [
        (row.words, row.before and row.before.rate_s_per_day.value,
         row.after and row.after.rate_s_per_day.value)
        for row in positions_of(list(visit.readings.all()))
    ]  # fmt: skip


def test_rounds_stand_before_beside_after_in_the_order_of_wind_and_position(visit, colleague):
    heard_round(visit, colleague, {"6H": (1, 210), "CH": (2, 240)}, wound="24h", after=True)
    heard_round(visit, colleague, {"6H": (3, 250), "CH": (4, 280)}, running={"CH": (5, 255)})
    heard_round(visit, colleague, {"CH": (6, 290), "12H": (7, 255)}, after=True)
    assert told(visit) == [
        ("CH, dial up, fully wound", 4, 6),
        ("6H, crown left, fully wound", 3, None),
        ("12H, crown right, fully wound", None, 7),
        ("CH, dial up, fully wound, chronograph running", 5, None),
        ("CH, dial up, 24 hours after full wind", None, 2),
        ("6H, crown left, 24 hours after full wind", None, 1),
    ]


def test_of_a_position_heard_in_two_rounds_the_last_stands(visit, colleague):
    heard_round(visit, colleague, SPOT)
    heard_round(visit, colleague, {"CH": (1, 280)})
    hear(visit, colleague, "FH", 9, 281)
    assert told(visit)[:2] == [("CH, dial up, fully wound", 1, None),
                               ("FH, dial down, fully wound", 9, None)]  # fmt: skip
