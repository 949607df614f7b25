"""The rooms beside the visit: reached from the top of the page, with and without anything in."""

import pytest

ROOMS = ("Here now", "All visits", "Owners", "Due", "Drawer", "Calibres", "Money", "People")


@pytest.mark.parametrize("size", ["desktop", "tablet"])
def test_every_room_shuts_nobody_out(open_desk, restorer, size):
    desk = open_desk(restorer, size=size)
    for room in (*ROOMS, "Settings"):
        desk.enter(room)
        desk.look()


def test_a_room_that_is_not_there_says_so(open_desk, restorer):
    desk = open_desk(restorer)
    desk.expected.add(404)
    desk.go("/visits/1999-001/")
    desk.shows("There is no visit 1999-001.")
    desk.look()
