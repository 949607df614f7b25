"""Measuring a hole in a photograph of a visit: pressed, seen, stored on yes, with its evidence."""

import html
import re
from dataclasses import replace

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from sideshake.web.measuring.photo_opened import opened
from sideshake.web.measuring.photo_sizes import hole_in
from sideshake.web.models import Finding, Measurement, Photograph, Removed, Visit, the_workshop
from tests.photo.rendered import Scene, file_of, where_px

OVAL = Scene(
    long_mm=1.06, short_mm=0.98, angle_deg=30.0, um_a_pixel=14.0, wide_px=1500, high_px=1500
)
"""An oval of 0.080 mm at 30 degrees, with the small card round it: the truth of these tests."""
LINES = {"card_across_mm": "100,00", "card_along_mm": "100.02"}


@pytest.fixture
def card(client):
    answer = client.post("/settings/card/", {**LINES, "seen": the_workshop().version})
    assert answer.status_code == 302


@pytest.fixture(scope="module")
def pictures():
    """Return the files of the scenes of these tests, each made once."""
    made = {}

    def picture(scene):
        if scene not in made:
            made[scene] = file_of(scene)
        return made[scene]

    return picture


@pytest.fixture
def shot(client, visit, pictures):
    """Return how a scene becomes a photograph of the visit."""

    def take(scene=OVAL):
        given = SimpleUploadedFile("hole.png", pictures(scene), "image/png")
        client.post(f"/visits/{visit.number}/photographs/add/", {"photographs": [given]})
        return Photograph.objects.latest("pk")

    return take


def pressed(row, scene=OVAL, **also):
    """Return what a press on the hole's middle fills in."""
    x, y = where_px(scene)
    at = {"at_across": (x + 0.5) / row.width_px, "at_down": (y + 0.5) / row.height_px}
    hundredths = {name: f"{100 * each:.3f}" for name, each in at.items()}
    return {**hundredths, "scale": "card", "seen_from": "bridge", **also}


def look(client, row, **told):
    answer = client.get(f"/photographs/{row.pk}/measure/", told)
    return answer, html.unescape(answer.content.decode())


def test_a_photograph_asks_for_a_press_and_stores_nothing(client, shot):
    row = shot()
    answer, page = look(client, row)
    assert answer.status_code == 200
    assert "Press inside the hole" in page
    assert "Yes, store this size" not in page
    assert (
        f'href="/photographs/{row.pk}/measure/"'
        in client.get(f"/photographs/{row.pk}/").content.decode()
    )


def test_without_the_cards_lines_there_is_no_figure(client, shot):
    row = shot()
    _answer, page = look(client, row, **pressed(row))
    assert "measure both lines" in page
    assert "Oval by" not in page
    assert not re.search(r"\d\.\d+ ± ", page.partition('id="seen"')[2].partition("<form")[0])


def test_an_oval_is_drawn_told_and_stored_only_on_yes(client, card, shot, visit):
    row = shot()
    told = pressed(row)
    _answer, page = look(client, row, **told)
    assert "Oval by 0.0" in page
    assert 'class="rim"' in page
    assert 'class="axis"' in page
    assert not Measurement.objects.exists()
    answer = client.post(f"/photographs/{row.pk}/measure/", {**told, "table": "above"})
    assert answer.url == f"/visits/{visit.number}/#measured"
    sizes = {each.key: each for each in Measurement.objects.all()}
    assert set(sizes) == {"above.hole_long_mm", "above.hole_short_mm", "above.long_axis_deg"}
    for key, true in (("above.hole_long_mm", 1.06), ("above.hole_short_mm", 0.98)):
        assert abs(sizes[key].value - true) < 2 * sizes[key].u + 0.0006  # rounded as it is said
    assert abs(sizes["above.long_axis_deg"].value - 30) < 5
    assert {each.photograph for each in sizes.values()} == {row}
    assert "seen in a photograph" in client.get(f"/visits/{visit.number}/").content.decode()


def test_the_report_tells_the_hole_beside_its_photograph(client, card, shot, visit):
    row = shot()
    page = f"/visits/{visit.number}/papers/report.html"
    assert "Arbor, bridge side, measured" not in client.get(page).content.decode()
    client.post(f"/photographs/{row.pk}/measure/", {**pressed(row), "table": "above"})
    report = html.unescape(client.get(page).content.decode())
    assert "Arbor, bridge side, measured" in report
    assert "measured after the work" not in report
    assert "Oval by 0.0" in report
    seen = {f"seen.{each.key}": each.version for each in Measurement.objects.all()}
    typed = {"above.hole_long_mm": "1.07", "above.hole_short_mm": "0.99", "above.long_axis_deg": ""}
    client.post(f"/visits/{visit.number}/measure/", {**typed, **seen})
    report = html.unescape(client.get(page).content.decode())
    assert "Arbor, bridge side, measured" not in report
    assert "Oval by 0.0" not in report


def test_a_photograph_of_a_finding_stands_once_in_the_report(client, card, shot, visit):
    row = shot()
    client.post(f"/photographs/{row.pk}/measure/", {**pressed(row), "table": "above"})
    page = f"/visits/{visit.number}/papers/report.html"
    assert "See the photograph at" not in client.get(page).content.decode()
    Finding.objects.create(visit=visit, title="Plate hole worn", photograph=row)
    report = html.unescape(client.get(page).content.decode())
    assert "See the photograph at “Plate hole worn”." in report
    assert report.count("data:image/jpeg") + report.count("data:image/png") == 1


def test_a_number_of_thousands_of_digits_is_no_photograph(client, card, shot):
    row = shot()
    answer, page = look(client, row, before=["9" * 5000 + "?at_across=1"], **pressed(row))
    assert answer.status_code == 200
    assert "Oval by 0.0" in page


def test_a_round_hole_is_stored_by_its_diameter_alone(client, card, shot, visit):
    scene = replace(OVAL, long_mm=1.0, short_mm=1.0)
    row = shot(scene)
    told = {**pressed(row, scene), "table": "below", "after": "yes"}
    _answer, page = look(client, row, **told)
    assert "Round, as far as this photograph can tell" in page
    assert 'class="axis"' not in page
    client.post(f"/photographs/{row.pk}/measure/", told)
    size = Measurement.objects.get()
    assert (size.key, size.after, size.photograph) == ("below.hole_mm", True, row)
    assert abs(size.value - 1.0) < 2 * size.u + 0.0006


def test_seen_from_the_plate_the_direction_is_mirrored(client, card, shot):
    row = shot()
    told = {**pressed(row, seen_from="plate"), "table": "above"}
    client.post(f"/photographs/{row.pk}/measure/", told)
    way = Measurement.objects.get(key="above.long_axis_deg").value
    assert abs(way - 150) < 5


@pytest.mark.on_postgresql
def test_an_oval_replaces_a_diameter_only_with_the_version_that_was_seen(client, card, shot, visit):
    client.post(f"/visits/{visit.number}/measure/", {"above.hole_mm": "1.02"})
    typed = Measurement.objects.get()
    assert typed.photograph is None
    row = shot()
    told = {**pressed(row), "table": "above"}
    answer = client.post(f"/photographs/{row.pk}/measure/", told)
    assert answer.status_code == 409
    assert Measurement.objects.get().value == 1.02
    told["seen.above.hole_mm"] = typed.version
    assert client.post(f"/photographs/{row.pk}/measure/", told).status_code == 302
    assert not Measurement.objects.filter(key="above.hole_mm").exists()


def test_a_size_that_is_typed_over_loses_its_photograph(client, card, shot, visit):
    scene = replace(OVAL, long_mm=1.0, short_mm=1.0)
    row = shot(scene)
    client.post(f"/photographs/{row.pk}/measure/", {**pressed(row, scene), "table": "above"})
    size = Measurement.objects.get()
    page = f"/visits/{visit.number}/measure/"
    seen = {"seen.above.hole_mm": size.version}
    text = re.search(r'name="above.hole_mm" value="([^"]+)"', client.get(page).content.decode())[1]
    client.post(page, {"above.hole_mm": html.unescape(text), **seen})
    size.refresh_from_db()
    assert size.photograph == row
    client.post(page, {"above.hole_mm": "1.1", "seen.above.hole_mm": size.version})
    size.refresh_from_db()
    assert (size.value, size.photograph) == (1.1, None)
    visit_page = client.get(f"/visits/{visit.number}/").content.decode()
    assert "seen in a photograph" not in visit_page


def test_beside_the_hole_there_is_a_sentence_and_no_figure(client, card, shot):
    row = shot()
    told = {**pressed(row), "at_across": "2", "at_down": "2"}
    answer, page = look(client, row, **told)
    assert answer.status_code == 200
    assert 'role="alert"' in page
    assert "Yes, store this size" not in page
    answer = client.post(f"/photographs/{row.pk}/measure/", {**told, "table": "above"})
    assert answer.status_code == 422
    assert not Measurement.objects.exists()


def test_what_is_missing_of_a_scale_is_asked_for(client, shot):
    row = shot()
    _answer, page = look(client, row, **pressed(row, scale="known"))
    assert "Press the thing of known size" in page
    _answer, page = look(
        client, row, **pressed(row, scale="rule", first_across="1", first_down="1")
    )
    assert "Press the second point" in page
    answer = client.post(f"/photographs/{row.pk}/measure/", pressed(row, scale="known"))
    assert answer.status_code == 422


def test_a_rule_gives_its_larger_doubt(client, shot, card):
    row = shot()
    apart_mm = 10.0
    (x1, y1), (x2, y2) = (where_px(OVAL, (side * apart_mm / 2, -8.0)) for side in (-1, 1))
    places = {"first_across": x1 + 0.5, "second_across": x2 + 0.5, "first_down": y1 + 0.5,
              "second_down": y2 + 0.5}  # fmt: skip
    rule = {name: f"{100 * each / row.width_px:.3f}" for name, each in places.items()}
    told = pressed(row, scale="rule", length_mm="10 ± 0.02", **rule)
    _answer, page = look(client, row, **told)
    by_card = look(client, row, **pressed(row))[1]
    wide, narrow = (
        float(re.search(r"mm: [\d.]+ ± ([\d.]+) mm long", each)[1]) for each in (page, by_card)
    )
    assert wide > narrow


def test_three_photographs_tell_wear_from_the_camera(client, card, shot):
    scenes = {turn: replace(OVAL, angle_deg=30.0 + turn) for turn in (0.0, 120.0, 240.0)}
    rows = {turn: shot(scene) for turn, scene in scenes.items()}
    before = []
    for turn, row in rows.items():
        told = pressed(row, scenes[turn], turned_deg=str(turn))
        _answer, page = look(client, row, before=before, **told)
        assert ("Turning with the part, so wear" in page) == (len(before) == 2)
        before = [*before, f"{row.pk}?" + "&".join(f"{k}={v}" for k, v in told.items())]
    assert "2 other photographs" in page
    answer = client.post(
        f"/photographs/{row.pk}/measure/", {**told, "before": before[:2], "table": "above"}
    )
    assert answer.status_code == 302
    assert abs(Measurement.objects.get(key="above.long_axis_deg").value - 30) < 5


def test_another_visits_photograph_is_not_measured_together(client, card, shot, visit, pictures):
    row = shot()
    told = pressed(row)
    whole = "&".join(f"{name}={text}" for name, text in told.items())
    other = Visit.objects.create(
        number="2026-002",
        watch=visit.watch,
        arrived_on=visit.arrived_on,
        step_since=visit.step_since,
    )
    given = SimpleUploadedFile("hole.png", pictures(OVAL), "image/png")
    client.post(f"/visits/{other.number}/photographs/add/", {"photographs": [given]})
    foreign = other.photographs.get()
    _answer, page = look(client, row, before=[f"{foreign.pk}?{whole}", "99999?at_across=1"], **told)
    assert "Oval by 0.0" in page
    assert "Measured together" not in page
    own = shot(replace(OVAL, angle_deg=OVAL.angle_deg + 0.5))
    _answer, page = look(client, own, before=[f"{row.pk}?{whole}"], **told)
    assert "Measured together with one other photograph" in page


def test_a_hole_measured_before_is_stored_over_once_it_is_chosen(client, card, shot, visit):
    client.post(f"/visits/{visit.number}/measure/", {"below.hole_mm": "1.02"})
    row = shot()
    _answer, page = look(client, row, **pressed(row), table="below")
    version = Measurement.objects.get().version
    assert f'name="seen.below.hole_mm" value="{version}"' in page
    assert page.count('name="table" value="below"') == 1


def test_what_cannot_be_is_said_where_the_answer_stands(client, card, shot):
    row = shot()
    _answer, page = look(
        client, row, **pressed(row, scale="known", known_across="1", known_down="1")
    )
    assert "How many millimetres?" in page.partition('id="seen"')[2].partition('id="asked"')[0]
    _answer, page = look(client, row, **pressed(row))
    assert "How many millimetres?" not in page


def test_a_size_typed_over_while_its_photograph_was_removed_stays_typed(client, card, shot, visit):
    row = shot()
    client.post(f"/photographs/{row.pk}/measure/", {**pressed(row), "table": "above"})
    client.post(f"/photographs/{row.pk}/remove/", {"seen": row.version})
    seen = {f"seen.{each.key}": each.version for each in Measurement.objects.all()}
    typed = {"above.hole_long_mm": "1.07", "above.hole_short_mm": "0.99", "above.long_axis_deg": ""}
    client.post(f"/visits/{visit.number}/measure/", {**typed, **seen})
    client.post(f"/removed/{Removed.objects.get(kind='photograph').pk}/take-back/")
    assert Photograph.objects.count() == 1
    report = client.get(f"/visits/{visit.number}/papers/report.html").content.decode()
    assert "Arbor, bridge side, measured" not in report
    assert "seen in a photograph" not in client.get(f"/visits/{visit.number}/").content.decode()


@pytest.mark.on_postgresql
def test_a_removed_photograph_leaves_its_size(client, card, shot):
    row = shot()
    client.post(f"/photographs/{row.pk}/measure/", {**pressed(row), "table": "above"})
    row.delete()
    assert {each.photograph for each in Measurement.objects.all()} == {None}


@pytest.mark.parametrize("kind", ["rim", "off"])
def test_the_pictures_are_drawn(client, card, shot, kind):
    row = shot()
    answer = client.get(f"/photographs/{row.pk}/measure/{kind}.svg", pressed(row))
    assert answer["Content-Type"] == "image/svg+xml"
    assert b"<svg" in answer.content
    assert client.get(f"/photographs/{row.pk}/measure/{kind}.svg").status_code == 422


def test_there_is_no_other_picture_and_no_other_hole(client, card, shot):
    row = shot()
    assert client.get(f"/photographs/{row.pk}/measure/x.svg", pressed(row)).status_code == 422
    assert look(client, row, table="barrel")[0].status_code == 404


def test_a_line_far_from_100_mm_is_refused(client, db):
    told = {"card_across_mm": "92", "card_along_mm": "100", "seen": the_workshop().version}
    answer = client.post("/settings/card/", told)
    assert answer.status_code == 422
    assert "too far from 100 mm" in answer.content.decode()
    assert the_workshop().card_across_mm is None


def test_the_card_is_a_pdf(client, db):
    answer = client.get("/settings/card.pdf")
    assert answer.content.startswith(b"%PDF")
    assert answer["Content-Type"] == "application/pdf"


def test_a_hole_is_measured_once_for_page_and_pictures(client, card, shot):
    hole_in.cache_clear()
    row = shot()
    look(client, row, **pressed(row))
    client.get(f"/photographs/{row.pk}/measure/off.svg", pressed(row))
    assert hole_in.cache_info().misses == 1


def test_a_photograph_is_decoded_once_for_every_press_and_picture(client, card, shot):
    opened.cache_clear()
    row = shot()
    for rounded in ({}, {"rounded": "on"}):
        look(client, row, **pressed(row, **rounded))
    client.get(f"/photographs/{row.pk}/measure/rim.svg", pressed(row))
    assert opened.cache_info().misses == 1
