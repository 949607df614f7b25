"""A wheel, a pivot and points in a photograph of a visit: pressed, told, noted only on yes."""

import html
import io
import math
import re
from dataclasses import replace

import numpy as np
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from drawn_pivots import DrawnPivot, drawn_pivot
from drawn_wheels import Drawn, drawn_wheel
from PIL import Image
from wheel_cases import mark, numbered

from sideshake.photo.light import coded
from sideshake.web.measuring.photo_marks import marks_at
from sideshake.web.measuring.photo_pivots import pivot_at
from sideshake.web.measuring.photo_wheels import wheel_at
from sideshake.web.models import Change, Finding, Measurement, Photograph, the_workshop
from tests.web.measuring.test_look import LINES

RING = Drawn(teeth=31, inside=True, form="date", tip=120.0, depth=14.0, lost={3: 0.0, 4: 0.0})
WHOLE = Drawn(teeth=31, inside=True, form="date", tip=120.0, depth=14.0)
RULE_PX = 300.0
"""How far apart the two points on the rule lie here; they stand for 12 mm, so 40 µm a pixel."""
RULE = {"scale": "rule", "length_mm": "12 ± 0.02"}
ON_RULE = {"first": (40.0, 20.0), "second": (340.0, 20.0)}


def picture_of(light):
    stream = io.BytesIO()
    Image.fromarray(np.round(255 * coded(light)).astype(np.uint8)).save(stream, "PNG")
    return stream.getvalue()


@pytest.fixture(scope="module")
def pictures():
    """The files of what is drawn here, each made once."""
    made = {}

    def picture(drawn):
        words = repr(drawn)
        if words not in made:
            draw = drawn_pivot if isinstance(drawn, DrawnPivot) else drawn_wheel
            made[words] = picture_of(draw(drawn))
        return made[words]

    return picture


@pytest.fixture
def visit(visit):
    """A visit of a watch whose sheet has a calendar and a ratchet wheel of 57 teeth."""
    visit.watch.calibre = "lindquell-25"
    visit.watch.save()
    return visit


@pytest.fixture
def shot(client, visit, pictures):
    """How something drawn becomes a photograph of the visit."""

    def take(drawn):
        given = SimpleUploadedFile("part.png", pictures(drawn), "image/png")
        client.post(f"/visits/{visit.number}/photographs/add/", {"photographs": [given]})
        return Photograph.objects.latest("pk")

    return take


def places(row, **pixels):
    """Return pressed pixels as the form has them."""
    told = {}
    for name, (x, y) in pixels.items():
        told[f"{name}_across"] = f"{100 * (x + 0.5) / row.width_px:.4f}"
        told[f"{name}_down"] = f"{100 * (y + 0.5) / row.height_px:.4f}"
    return told


def wheel_of(row, drawn, **also):
    """Return what presses on a wheel's middle and on its tooth 0 fill in."""
    pressed = places(row, at=drawn.centre, tooth=mark(drawn))
    kind = {"wheel": "date-ring", "teeth": "inside" if drawn.inside else "outside"}
    return {**pressed, **kind, "scale": "none", **also}


def seen(client, row, what, **told):
    answer = client.get(f"/photographs/{row.pk}/measure/{what}/", told)
    assert answer.status_code == 200
    return html.unescape(answer.content.decode())


def yes(client, row, what, **told):
    return client.post(f"/photographs/{row.pk}/measure/{what}/", told)


def lost_of(drawn):
    first, second = numbered(drawn, drawn.lost)
    return f"teeth {first} and {second} of 31 are missing"


@pytest.mark.parametrize("what", ["", "wheel/", "pivot/", "points/"])
def test_each_page_says_what_it_measures_and_leads_to_the_others(client, shot, what):
    row = shot(WHOLE)
    page = client.get(f"/photographs/{row.pk}/measure/{what}").content.decode()
    shown = dict(re.findall(r'<a href="(/photographs/\d+/measure/[a-z/]*)"( aria-current)?', page))
    assert [address for address, here in shown.items() if here] == [
        f"/photographs/{row.pk}/measure/{what}"
    ]
    assert len(shown) == 4
    assert "othing is stored before you say yes" in page
    assert 'class="keep"' not in page


def test_missing_teeth_are_told_and_noted_only_on_yes(client, shot, visit):
    row = shot(RING)
    told = wheel_of(row, RING, expected="31")
    page = seen(client, row, "wheel", **told)
    first, second = numbered(RING, RING.lost)
    assert "The wheel has 31 teeth, 29 of them left." in page
    assert "That is the number expected (31)." in page
    assert f"Teeth {first} and {second} are missing." in page
    assert "pixels; no scale was given" in page
    assert "“Date ring: teeth lost” is offered" in page
    assert page.count('class="tooth missing"') == 2
    assert not Finding.objects.exists()
    answer = yes(client, row, "wheel", **told)
    assert answer.url == f"/visits/{visit.number}/#findings"
    noted = Finding.objects.get()
    assert (noted.key, noted.title) == ("calendar-teeth-lost", "Date ring: teeth lost")
    assert (noted.photograph, noted.severity, noted.part) == (row, "broken", "calendar")
    assert noted.detail.startswith(f"Counted in a photograph: {lost_of(RING)}. 29 of 31 teeth")
    assert "mm" not in noted.detail
    assert Change.objects.filter(kind="finding").count() == 1


def test_a_whole_wheel_offers_no_finding(client, shot):
    row = shot(WHOLE)
    told = wheel_of(row, WHOLE, expected="31")
    page = seen(client, row, "wheel", **told)
    assert "No tooth is missing, broken, worn thin or bent." in page
    assert "No finding is offered, since no tooth is missing or broken off." in page
    assert 'class="keep"' not in page
    answer = yes(client, row, "wheel", **told)
    assert answer.status_code == 422
    assert "there is nothing to note" in answer.content.decode()
    assert not Finding.objects.exists()


def test_another_number_than_expected_offers_no_finding(client, shot):
    row = shot(RING)
    page = seen(client, row, "wheel", **wheel_of(row, RING, expected="32"))
    assert "Expected are 32: this is not that wheel, or the sheet is wrong." in page
    assert "another number of teeth than expected" in page
    assert yes(client, row, "wheel", **wheel_of(row, RING, expected="32")).status_code == 422
    assert not Finding.objects.exists()


def test_the_sheet_tells_how_many_are_expected(client, shot, visit):
    drawn = Drawn(teeth=57, tip=170.0, form="saw", depth=10.0)
    row = shot(drawn)
    page = seen(client, row, "wheel", **wheel_of(row, drawn, wheel="ratchet-wheel"))
    assert "Ratchet wheel (57 by the sheet)" in page
    assert "That is the number expected (57)." in page
    page = seen(client, row, "wheel", **wheel_of(row, drawn, wheel="ratchet-wheel", expected="56"))
    assert "Expected are 56" in page
    page = seen(client, row, "wheel", **wheel_of(row, drawn, wheel="other"))
    assert "xpected" not in page.partition('id="seen"')[2].partition('id="asked"')[0]


def test_a_wheel_of_the_train_that_lost_teeth_is_another_finding(client, shot):
    drawn = Drawn(teeth=31, lost={0: 0.0})
    row = shot(drawn)
    told = wheel_of(row, drawn, wheel="other", tooth_across="", tooth_down="")
    page = seen(client, row, "wheel", **told)
    assert "1 is the one nearest to 12 o'clock" in page
    yes(client, row, "wheel", **told)
    noted = Finding.objects.get()
    assert (noted.key, noted.title) == ("wheel-teeth-lost", "Teeth of a wheel lost")
    assert " is missing. 30 of 31 teeth are left. Numbered clockwise as seen, 1 at 12 o'clock." in (
        noted.detail
    )


def test_of_a_tooth_broken_off_nothing_is_said_of_those_left(client, shot):
    drawn = replace(RING, depth=16.0, lost={12: 0.5})
    row = shot(drawn)
    told = wheel_of(row, drawn)
    (broken,) = numbered(drawn, drawn.lost)
    yes(client, row, "wheel", **told)
    words = f"Counted in a photograph: tooth {broken} of 31 is broken off. "
    assert Finding.objects.get().detail.startswith(f"{words}Numbered clockwise as seen, 1 at ")
    Finding.objects.all().delete()
    yes(client, row, "wheel", **{**told, **RULE, **places(row, **ON_RULE)})
    assert Finding.objects.get().detail.startswith(f"{words}Over the tips it measures 9.")


def test_a_scale_gives_the_diameter_over_the_tips(client, shot):
    row = shot(RING)
    across = {"first": (50.0, 199.0), "second": (350.0, 199.0)}
    told = {**wheel_of(row, RING), **RULE, **places(row, **across)}
    page = seen(client, row, "wheel", **told)
    size, half = (
        float(each) for each in re.search(r"it measures ([\d.]+) ± ([\d.]+) mm\.", page).groups()
    )
    assert abs(size - 2 * RING.tip * 12 / RULE_PX) < half < 0.03 * size
    yes(client, row, "wheel", **told)
    assert "over the tips it measures 9.5" in Finding.objects.get().detail
    beside = seen(client, row, "wheel", **{**told, **places(row, **ON_RULE)})
    assert float(re.search(r"it measures [\d.]+ ± ([\d.]+) mm", beside)[1]) > half


@pytest.mark.on_postgresql
def test_a_finding_noted_already_is_written_into_with_the_version_seen(client, shot, visit):
    own = Finding.objects.create(
        visit=visit, key="calendar-teeth-lost", title="Date ring: teeth lost", detail="Rust there."
    )
    row = shot(RING)
    told = wheel_of(row, RING)
    page = seen(client, row, "wheel", **told)
    assert "is there already" in page
    assert f'name="seen.finding" value="{own.version}"' in page
    answer = yes(client, row, "wheel", **told)
    assert answer.status_code == 409
    assert Finding.objects.get().detail == "Rust there."
    assert yes(client, row, "wheel", **told, **{"seen.finding": own.version}).status_code == 302
    noted = Finding.objects.get()
    assert noted.detail.startswith("Rust there.\nCounted in a photograph: ")
    again = {**told, "tooth_across": "", "tooth_down": "", "seen.finding": noted.version}
    yes(client, row, "wheel", **again)
    noted = Finding.objects.get()
    assert noted.detail.count("Counted in a photograph") == 1
    assert noted.detail.startswith("Rust there.\n")


def test_a_finding_of_the_list_is_filled_and_of_another_wheel_left(client, shot, visit):
    usual = Finding.objects.create(
        visit=visit, key="calendar-teeth-lost", title="Teeth of a calendar wheel lost"
    )
    row = shot(RING)
    told = {**wheel_of(row, RING), "seen.finding": usual.version}
    yes(client, row, "wheel", **told)
    assert Finding.objects.get().title == "Date ring: teeth lost"
    yes(client, row, "wheel", **{**told, "wheel": "corrector"})
    assert {each.title for each in Finding.objects.all()} == {
        "Date ring: teeth lost", "Corrector wheel: teeth lost",
    }  # fmt: skip


def test_where_there_is_no_wheel_a_cure_is_told_and_nothing_noted(client, shot):
    row = shot(DrawnPivot())
    told = wheel_of(row, RING, tooth_across="", tooth_down="", at_across="5", at_down="5")
    page = seen(client, row, "wheel", **told)
    assert 'role="alert"' in page
    assert re.search("press the middle|plain ground|all of it", page)
    assert yes(client, row, "wheel", **told).status_code == 422
    assert not Finding.objects.exists()


def test_where_the_card_is_the_scale_the_cure_says_how_it_must_lie(client, shot):
    client.post("/settings/card/", {**LINES, "seen": the_workshop().version})
    row = shot(DrawnPivot())
    told = wheel_of(row, RING, tooth_across="", tooth_down="", at_across="5", at_down="5")
    assert "If the card lies round the wheel" not in seen(client, row, "wheel", **told)
    page = seen(client, row, "wheel", **{**told, "scale": "card"})
    assert re.search("lit from behind. If the card lies round the wheel, its window must", page)


def test_half_a_place_or_no_such_wheel_is_refused_in_words(client, shot):
    row = shot(WHOLE)
    page = seen(client, row, "wheel", **{**wheel_of(row, WHOLE), "tooth_down": ""})
    assert "A place needs both numbers." in page
    page = seen(client, row, "wheel", **{**wheel_of(row, WHOLE), "wheel": "moon"})
    assert "Which wheel it is: Select a valid choice." in page
    page = seen(client, row, "wheel", **{**wheel_of(row, WHOLE), "expected": "1"})
    assert "Teeth expected: " in page


def test_a_pivot_is_stored_with_its_photograph_on_yes(client, shot, visit):
    drawn = DrawnPivot()
    row = shot(drawn)
    told = {
        **places(row, at=drawn.middle, **ON_RULE), **RULE, "table": "below", "after": "no",
    }  # fmt: skip
    page = seen(client, row, "pivot", **told)
    assert re.search(r"The pivot is 2\.4\d* ± 0\.\d+ mm thick\.", page)
    assert "It is straight, and so are its sides" in page
    assert not Measurement.objects.exists()
    assert yes(client, row, "pivot", **told).url == f"/visits/{visit.number}/#measured"
    size = Measurement.objects.get()
    assert (size.key, size.photograph, size.after) == ("below.pivot_mm", row, False)
    assert abs(size.value - drawn.thick * 12 / RULE_PX) < 2 * size.u + 0.0006
    assert size.note.startswith("The pivot is 2.4")
    report = client.get(f"/visits/{visit.number}/papers/report.html").content.decode()
    assert "Arbor, plate side, measured" in report
    assert html.unescape(report).count("The pivot is 2.4") == 1


@pytest.mark.on_postgresql
def test_a_pivot_measured_before_is_stored_over_only_with_the_version_seen(client, shot, visit):
    client.post(f"/visits/{visit.number}/measure/", {"below.pivot_mm": "0.9"})
    drawn = DrawnPivot()
    row = shot(drawn)
    told = {
        **places(row, at=drawn.middle, **ON_RULE), **RULE, "table": "below", "after": "no",
    }  # fmt: skip
    size = Measurement.objects.get()
    page = seen(client, row, "pivot", **told)
    assert f'name="seen.below.pivot_mm" value="{size.version}"' in page
    assert yes(client, row, "pivot", **told).status_code == 409
    assert yes(client, row, "pivot", **told, **{"seen.below.pivot_mm": "1"}).status_code == 302
    assert Measurement.objects.get().photograph == row


def test_a_pivot_without_a_scale_is_told_in_pixels_and_not_stored(client, shot):
    drawn = DrawnPivot(bow=3.0)
    row = shot(drawn)
    told = {**places(row, at=drawn.middle), "scale": "none", "table": "above", "after": "no"}
    page = seen(client, row, "pivot", **told)
    assert "pixels thick" in page
    assert "It is bent" in page
    assert "Without a scale there is no size to store" in page
    assert 'class="keep"' not in page
    answer = yes(client, row, "pivot", **told)
    assert answer.status_code == 422
    assert "A size needs a scale" in answer.content.decode()
    assert not Measurement.objects.exists()


def test_hole_and_pivot_of_one_bearing_in_one_photograph_are_both_told(client, shot, visit):
    row = shot(DrawnPivot())
    for key, note in (("hole_mm", "Round so far."), ("pivot_mm", "Thin so far.")):
        Measurement.objects.create(
            visit=visit, key=f"above.{key}", value=1.0, u=0.01, photograph=row, note=note
        )
    report = client.get(f"/visits/{visit.number}/papers/report.html").content.decode()
    assert report.count("Arbor, bridge side, measured") == 1
    assert report.count("Round so far.") == report.count("Thin so far.") == 1


def test_points_are_told_by_radius_and_direction_and_noted_on_yes(client, shot, visit):
    row = shot(WHOLE)
    middle = (200.0, 200.0)
    way = math.radians(50)
    out = (200 + 150 * math.cos(way), 200 - 150 * math.sin(way))
    told = {
        **places(row, at=middle, mark_1=out, mark_2=(50.0, 200.0), **ON_RULE), **RULE,
        "finding": "rotor-rubs", "seen_from": "bridge", "turned_deg": "20",
    }  # fmt: skip
    page = seen(client, row, "points", **told)
    radius, half = map(
        float, re.search(r"Point 1 lies ([\d.]+) ± ([\d.]+) mm from the middle", page).groups()
    )
    assert abs(radius - 150 * 12 / RULE_PX) < half < 2.0
    assert re.search(r"mm from the middle at 30 ± \d° \(from 3 o'clock, counter-clockwise", page)
    assert re.search(r"Point 2 lies 6\.\d+ ± [\d.]+ mm from the middle at 160 ± \d°\.", page)
    assert not Finding.objects.exists()
    assert yes(client, row, "points", **told).url == f"/visits/{visit.number}/#findings"
    noted = Finding.objects.get()
    assert (noted.key, noted.photograph) == ("rotor-rubs", row)
    assert noted.detail.startswith("Pressed in a photograph: Point 1 lies 6.0")
    mirrored = seen(client, row, "points", **{**told, "seen_from": "plate"})
    assert re.search(r"Point 1 .* at 150 ± \d°", mirrored)


def test_points_are_noted_at_the_finding_whatever_it_is_called(client, shot, visit):
    own = Finding.objects.create(visit=visit, key="rotor-rubs", title="Rim on the case back")
    row = shot(WHOLE)
    told = {
        **places(row, at=(200.0, 200.0), mark_1=(300.0, 200.0)), "scale": "none",
        "finding": "rotor-rubs", "seen_from": "bridge", "seen.finding": own.version,
    }  # fmt: skip
    page = seen(client, row, "points", **told)
    assert "The finding “Rim on the case back” is there already" in page
    assert "Without a scale nobody can tell how far" in page
    yes(client, row, "points", **told)
    noted = Finding.objects.get()
    assert noted.title == "Rim on the case back"
    assert noted.detail.startswith("Pressed in a photograph: Point 1 lies at 0 ± 3° seen from")


def test_points_are_told_once_for_the_page_and_the_yes(client, shot):
    row = shot(WHOLE)
    told = {
        **places(row, at=(200.0, 200.0), mark_1=(300.0, 200.0)), "scale": "none",
        "finding": "rotor-rubs", "seen_from": "bridge",
    }  # fmt: skip
    marks_at.cache_clear()
    seen(client, row, "points", **told)
    assert yes(client, row, "points", **told).status_code == 302
    assert marks_at.cache_info().misses == 1


def test_points_need_a_middle_and_a_place_further_out(client, shot):
    row = shot(WHOLE)
    told = {"scale": "none", "finding": "rotor-rubs", "seen_from": "bridge"}
    page = seen(client, row, "points", **told, **places(row, at=(200.0, 200.0)))
    assert "Press the points too" in page
    near = places(row, at=(200.0, 200.0), mark_1=(206.0, 200.0))
    page = seen(client, row, "points", **told, **near)
    assert "press further out" in page
    assert yes(client, row, "points", **told, **near).status_code == 422
    assert not Finding.objects.exists()


def test_the_scale_stays_when_something_else_is_measured(client, shot):
    row = shot(WHOLE)
    told = {**wheel_of(row, WHOLE), **RULE, **places(row, **ON_RULE)}
    page = seen(client, row, "wheel", **told)
    address = re.search(r'href="(/photographs/\d+/measure/pivot/\?[^"]+)"', page)[1]
    assert "at_across" not in address
    other = html.unescape(client.get(address).content.decode())
    assert 'name="length_mm" value="12 ± 0.02"' in other
    assert '<option value="rule" selected>' in other


@pytest.mark.parametrize(("what", "kind"), [("wheel", "teeth"), ("pivot", "edges")])
def test_the_pictures_are_drawn_from_what_was_measured_once(client, shot, what, kind):
    drawn = WHOLE if what == "wheel" else DrawnPivot()
    row = shot(drawn)
    at = {"wheel": wheel_of(row, WHOLE), "pivot": {
        **places(row, at=DrawnPivot().middle), "scale": "none", "table": "above", "after": "no",
    }}[what]  # fmt: skip
    wheel_at.cache_clear(), pivot_at.cache_clear()
    page = seen(client, row, what, **at)
    address = re.search(rf'src="(/photographs/\d+/measure/{kind}.svg\?[^"]+)"', page)[1]
    answer = client.get(address)
    assert answer["Content-Type"] == "image/svg+xml"
    assert b"<svg" in answer.content
    assert wheel_at.cache_info().misses + pivot_at.cache_info().misses == 1
    assert client.get(f"/photographs/{row.pk}/measure/{kind}.svg").status_code == 422


def test_the_owners_report_tells_the_teeth_that_are_missing_with_their_photograph(
    client, shot, visit
):
    row = shot(RING)
    report = f"/visits/{visit.number}/papers/report.html"
    before = html.unescape(client.get(report).content.decode())
    assert "are missing" not in before
    assert "data:image" not in before
    yes(client, row, "wheel", **wheel_of(row, RING))
    said = html.unescape(client.get(report).content.decode())
    assert said.count(lost_of(RING)) == 1
    assert said.count("data:image/jpeg") + said.count("data:image/png") == 1
