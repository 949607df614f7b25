"""Measuring in a photograph in a real browser: press, see the edge, go nearer, say yes."""

import pytest
from django.test import Client

from sideshake.web.models import Measurement, Photograph, the_workshop
from tests.photo.rendered import file_of, where_px
from tests.web.measuring.test_look import LINES, OVAL, pressed

PICTURE = "#look > svg"


@pytest.fixture
def photograph(visit, restorer, tmp_path):
    """An oval of known size with the card round it, and the card's lines written down."""
    client = Client()
    client.force_login(restorer)
    client.post("/settings/card/", {**LINES, "seen": the_workshop().version})
    path = tmp_path / "hole.png"
    path.write_bytes(file_of(OVAL))
    with path.open("rb") as given:
        client.post(f"/visits/{visit.number}/photographs/add/", {"photographs": [given]})
    return Photograph.objects.get()


def place_of(desk, x_px, y_px):
    """Return where a pixel of the photograph lies on the screen."""
    return desk.page.evaluate(
        """([x, y]) => { const picture = document.querySelector("#look > svg");
        const at = new DOMPoint(x, y).matrixTransform(picture.getScreenCTM());
        return [at.x, at.y]; }""",
        [x_px, y_px],
    )


def test_a_press_draws_the_edge_and_a_yes_stores_it(open_desk, restorer, photograph, visit):
    desk = open_desk(restorer)
    desk.go(f"/photographs/{photograph.pk}/measure/")
    desk.shows("Press inside the hole")
    desk.page.evaluate("window.here = true")
    x, y = where_px(OVAL)
    desk.page.mouse.click(*place_of(desk, x, y))
    desk.page.wait_for_selector("#drawn .rim")
    desk.shows("Oval by 0.0", "mm long", "What the ± is made of")
    assert desk.page.evaluate("window.here")  # the page was never loaded anew
    assert not Measurement.objects.exists()
    desk.look()
    with desk.page.expect_navigation():
        desk.page.keyboard.press("y")
    desk.shows("Stored, with the photograph as its evidence.")
    assert Measurement.objects.count() == 3


def test_the_picture_comes_nearer_by_keys_wheel_and_buttons(open_desk, restorer, photograph):
    desk = open_desk(restorer)
    desk.go(f"/photographs/{photograph.pk}/measure/")

    def width():
        return float(desk.page.get_attribute(PICTURE, "viewBox").split()[2])

    whole = width()
    desk.page.focus(PICTURE)
    desk.page.keyboard.press("+")
    assert width() == pytest.approx(whole / 1.5)
    before = desk.page.get_attribute(PICTURE, "viewBox")
    desk.page.keyboard.press("ArrowRight")
    assert desk.page.get_attribute(PICTURE, "viewBox") != before
    desk.page.mouse.move(*place_of(desk, *where_px(OVAL)))
    desk.page.mouse.wheel(0, -600)
    desk.page.wait_for_function(f"() => document.querySelector('{PICTURE}').viewBox.baseVal.width"
                                f" < {whole / 3}")  # fmt: skip
    x, y = where_px(OVAL)
    desk.page.mouse.click(*place_of(desk, x, y))  # a press near by is the same place
    desk.page.wait_for_selector("#drawn .rim")
    told = pressed(photograph)
    for name in ("at_across", "at_down"):
        assert float(desk.page.input_value(f"#{name}")) == pytest.approx(float(told[name]), abs=0.1)
    desk.page.click("[data-nearer='0']")
    assert width() == whole


def test_dragging_moves_the_picture_and_presses_nothing(open_desk, restorer, photograph):
    desk = open_desk(restorer)
    desk.go(f"/photographs/{photograph.pk}/measure/")
    desk.page.focus(PICTURE)
    for _ in range(3):
        desk.page.keyboard.press("+")
    before = desk.page.get_attribute(PICTURE, "viewBox")
    x, y = place_of(desk, *where_px(OVAL))
    desk.page.mouse.move(x, y)
    desk.page.mouse.down()
    desk.page.mouse.move(x - 60, y - 40, steps=4)
    desk.page.mouse.up()
    assert desk.page.get_attribute(PICTURE, "viewBox") != before
    assert desk.page.input_value("#at_across") == ""


def test_a_known_thing_is_pressed_after_the_hole(open_desk, restorer, photograph):
    desk = open_desk(restorer)
    desk.go(f"/photographs/{photograph.pk}/measure/")
    assert not desk.page.is_visible("#known_mm")
    desk.page.select_option("#scale", "known")
    desk.page.fill("#known_mm", "x")
    x, y = where_px(OVAL)
    desk.page.mouse.click(*place_of(desk, x, y))
    desk.page.get_by_text("Its diameter, mm:").wait_for()
    desk.page.fill("#known_mm", "0.7")
    desk.page.locator("#known_mm").blur()
    desk.page.wait_for_selector("[data-point=known].next")
    desk.page.get_by_text("Press the thing of known size").wait_for()
    dot = where_px(OVAL, (8.75, 0.0))
    desk.page.mouse.click(*place_of(desk, *dot))
    desk.page.wait_for_selector("#drawn .rim")
    desk.shows("Without the card nobody can tell how square the camera looked")
