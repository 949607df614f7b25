"""The page on balance and hairspring at a real browser: found from a watch, filled in, computed."""

import pytest

PHONE = {"width": 390, "height": 844}


@pytest.mark.parametrize("size", ["desktop", "tablet"])
def test_what_is_known_is_written_and_what_follows_is_read(open_desk, restorer, visit, size):
    desk = open_desk(restorer, size=size)
    desk.go(f"/watches/{visit.watch_id}/")
    desk.enter("Balance and hairspring")
    desk.shows("To beat 18000 times an hour it wants a hairspring of 0.35 ± 0.03")
    desk.look()
    desk.write("Active length, mm", "105+-4")
    desk.write("Change of rate wanted, s a day", "-12")
    desk.enter("Compute")
    desk.shows("To lose 12 s a day the spring must become 0.0292 ± 0.0011 mm longer")
    desk.look()
    desk.page.set_viewport_size(PHONE)
    desk.look()
