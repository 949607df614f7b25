"""Counting a wheel and telling points in a real browser: press after press, then yes."""

import math

import pytest
from django.test import Client
from drawn_wheels import drawn_wheel
from wheel_cases import mark, numbered

from sideshake.web.models import Finding, Photograph
from tests.browser.test_look import place_of
from tests.web.measuring.test_look_parts import RING, picture_of


@pytest.fixture
def photograph(visit, restorer, tmp_path):
    """A date ring of 31 teeth, two of them missing, at a watch with a calendar."""
    visit.watch.calibre = "lindquell-25"
    visit.watch.save()
    client = Client()
    client.force_login(restorer)
    path = tmp_path / "ring.png"
    path.write_bytes(picture_of(drawn_wheel(RING)))
    with path.open("rb") as given:
        client.post(f"/visits/{visit.number}/photographs/add/", {"photographs": [given]})
    return Photograph.objects.get()


def test_two_presses_number_the_teeth_and_a_yes_notes_those_that_are_gone(
    open_desk, restorer, photograph, visit
):
    desk = open_desk(restorer)
    desk.go(f"/photographs/{photograph.pk}/")
    desk.press("m")
    desk.page.get_by_role("link", name="a wheel").click()
    desk.shows("Press the middle of the wheel")
    desk.page.evaluate("window.here = true")
    desk.page.mouse.click(*place_of(desk, *RING.centre))
    desk.page.wait_for_selector("#drawn .tooth.missing")
    desk.shows("The wheel has 31 teeth, 29 of them left.", "1 is the one nearest to 12 o'clock")
    desk.page.mouse.click(*place_of(desk, *mark(RING)))
    desk.page.get_by_text("1 is the tooth pressed").wait_for()
    first, second = numbered(RING, RING.lost)
    desk.shows(f"Teeth {first} and {second} are missing.")
    numbers = desk.page.locator("#drawn .number.not-whole").all_text_contents()
    assert sorted(map(int, numbers)) == [first, second]
    desk.page.select_option("#wheel", "corrector")
    desk.page.get_by_text("“Corrector wheel: teeth lost” is offered").wait_for()
    assert desk.page.evaluate("window.here")  # the page was never loaded anew
    assert not Finding.objects.exists()
    desk.look()
    with desk.page.expect_navigation():
        desk.page.keyboard.press("y")
    desk.shows("Noted at the finding, with the photograph.", "Corrector wheel: teeth lost")
    assert Finding.objects.get().photograph == photograph


def test_the_middle_and_then_point_after_point_are_pressed(open_desk, restorer, photograph):
    desk = open_desk(restorer)
    desk.go(f"/photographs/{photograph.pk}/measure/points/")
    x, y = RING.centre
    desk.page.mouse.click(*place_of(desk, x, y))
    desk.page.get_by_text("Press the points too").wait_for()
    for number, turn_deg in enumerate((30, 75), start=1):
        way = math.radians(turn_deg)
        desk.page.mouse.click(*place_of(desk, x + 120 * math.cos(way), y - 120 * math.sin(way)))
        desk.page.get_by_text(f"Point {number} lies at").wait_for()
        assert desk.page.locator("#drawn .axis").count() == number
    desk.shows("is offered, with these words and this photograph")
    desk.look()
