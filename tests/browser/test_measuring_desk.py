"""A bearing measured at a real browser: by keyboard alone, and with a finger on a telephone."""

from sideshake.web.measuring.places import store_place
from sideshake.web.measuring.taken import Taken
from sideshake.web.models import Finding, Measurement

LIT = "[...document.querySelectorAll('.length')].filter((each) => " \
    "getComputedStyle(each.querySelector('.hit')).fill !== 'rgba(0, 0, 0, 0)')" \
    ".map((each) => each.getAttribute('href'))"  # fmt: skip


def test_a_worn_hole_is_measured_and_noted_by_keyboard(open_desk, restorer, visit):
    desk = open_desk(restorer)
    desk.expected |= {422}
    desk.go(f"/visits/{visit.number}/desk/")
    desk.look()
    desk.enter("third wheel, above")
    desk.look()
    desk.write("Oval: the long way", "2,50 2,51 2,49")
    assert desk.page.evaluate(LIT) == ["#hole_long_mm"]
    desk.write("Oval: the short way", "0,225")
    desk.choose("Read with", "a microscope")
    desk.tab_to("Pivot")
    desk.page.keyboard.press("Enter")
    desk.write("Diameter of the pivot", "0,197")
    desk.enter("Save and judge")
    desk.shows("Nothing is saved yet", "10 times too large (0.215 ± 0.004 by the sheet)")
    assert not Measurement.objects.exists()
    desk.look()
    desk.press("y")
    desk.shows("Third wheel, above: worn", "The hole is oval by")
    assert Measurement.objects.get(key="bearing.third.above.hole_long_mm").value == 0.25
    desk.look()
    desk.press("f")
    desk.shows("Noted as a finding: Worn hole: third wheel, above", "noted as a finding")
    assert Finding.objects.get().title == "Worn hole: third wheel, above"
    desk.look()


def test_on_a_telephone_a_length_in_the_drawing_leads_to_its_field(open_desk, restorer, visit):
    desk = open_desk(restorer, size="telephone", java_script_enabled=False)
    desk.page.goto(f"{desk.house}/visits/{visit.number}/desk/balance.below/")
    desk.page.get_by_role("link", name="side play").tap()
    focused = desk.page.locator(":focus")
    assert focused.get_attribute("id") == "play_mm"
    desk.page.keyboard.type("0,011 ± 0,003")
    desk.page.get_by_role("button", name="Save and judge").tap()
    desk.page.get_by_text("Balance, below: leave it.").first.wait_for()
    assert Measurement.objects.get().key == "bearing.balance.below.play_mm"


def test_picture_list_and_bearing_fit_every_screen(open_desk, restorer, visit):
    sizes = {
        "hole_long_mm": "0.250 0.251 0.249",
        "hole_short_mm": "0.225 ± 0.006",
        "pivot_mm": "0.197 ± 0.004",
        "endshake_mm": "0.09 ± 0.01",
    }
    typed = {f"bearing.third.above.{size}": text for size, text in sizes.items()}
    store_place(visit, typed, Taken(), restorer, seen={})
    desk = open_desk(restorer)
    for place in ("", "third.above/", "fourth.below/", "barrel.above/", "stem/"):
        desk.go(f"/visits/{visit.number}/desk/{place}")
        for width in (390, 820, 1280):
            desk.page.set_viewport_size({"width": width, "height": 844})
            desk.look()
