"""A calibre edited section by section, as a restorer does it."""

from datetime import date

import pytest
from django.test import Client
from workshop_process import Forms

from sideshake.command.calibre import check
from sideshake.movement.blank import blank_sheet
from sideshake.movement.check import findings
from sideshake.movement.sheet_file import sheet_at, shipped_text
from sideshake.movement.sheet_text import tree_of
from sideshake.movement.written_lines import Written, line_at
from sideshake.web.base.saving import save
from sideshake.web.calibres.sheet_lines import PARTS, groups_of, row_group
from sideshake.web.calibres.sheets import plain_sheet, sheet_named
from sideshake.web.models import Calibre, Change, Reading, Removed, Visit
from sideshake.web.readings.hearing import lift_angle

BLANK = 'name = "New"\nbeats_per_hour = 18000\n\n[automatic]\n'


@pytest.fixture
def own(owner_of_workshop):
    made = Calibre(name="own-12", sheet=plain_sheet(shipped_text("tolvane-26")))
    save(made, owner_of_workshop)
    return made


@pytest.fixture
def new(owner_of_workshop):
    made = Calibre(name="new", sheet=BLANK)
    save(made, owner_of_workshop)
    return made


def at(row, section):
    return f"/calibre/{row.pk}/edit/{section}/"


def shown_in(client, address):
    """Return every field of the section's form as a browser would send it."""
    page = client.get(address).content.decode()
    form = next(each for each in Forms(page, address).found if "seen" in each.shown)
    return {name: text for name, text in form.shown.items() if name != "csrfmiddlewaretoken"}


def line(row, key):
    row.refresh_from_db()
    return line_at(tree_of(row.sheet), key)


def test_every_line_of_the_sheet_stands_in_one_section():
    live = [text.removeprefix("#") for text in blank_sheet().splitlines() if " = " in text]
    places = [
        kind.key
        for part in PARTS
        for group in (*groups_of(part), *([row_group(part.rows, 0)] if part.rows else []))
        for kind in group.lines
    ]
    assert len(places) == len(set(places))
    own_ones = [key for key in places if not key.startswith("sources.")]
    assert len(own_ones) == len([each for each in live if "{" not in each])


@pytest.mark.parametrize("example", ["tolvane-26", "aldermoor-45", "marrowick-30"])
def test_a_section_saved_as_it_was_shown_changes_nothing(client, example):
    row = Calibre.objects.create(name="a", sheet=plain_sheet(shipped_text(example)))
    before = sheet_named("a")
    for part in PARTS:
        answer = client.post(at(row, part.slug), shown_in(client, at(row, part.slug)))
        assert answer.status_code == 302, part.slug
    row.refresh_from_db()
    assert Change.objects.filter(kind="calibre").values_list("fields", flat=True).first() is None
    assert (row.version, sheet_named("a")) == (1, before)


def test_a_line_is_kept_with_value_doubt_and_whence(client, own):
    sent = {"barrel.above.hole_mm": "0,921 ± 0,004", "barrel.above.hole_mm@source": "measured here",
            "barrel.above.hole_mm@memory": "on", "seen": "1"}  # fmt: skip
    assert client.post(at(own, "barrel"), sent).status_code == 302
    told = Written(value="0.921 ± 0.004", source="measured here", from_memory=True)
    assert line(own, "barrel.above.hole_mm") == told
    hole = sheet_named("own-12").barrel.above.hole_mm
    assert (hole.value, hole.expanded) == (0.921, pytest.approx(0.004))
    assert line(own, "barrel.teeth").value == 78  # what was not sent stays


def test_readings_and_plain_numbers_keep_their_digits(client, own):
    client.post(at(own, "barrel"), {"barrel.bore_mm": "9.400", "barrel.core_mm": "2,91; 2,90; 2,92",
                                    "seen": "1"})  # fmt: skip
    own.refresh_from_db()
    assert "bore_mm = 9.400" in own.sheet
    assert 'core_mm = "2.91; 2.90; 2.92"' in own.sheet
    page = client.get(at(own, "barrel")).content.decode()
    assert "read as 9.4000 ± 0.0006" in page


@pytest.mark.parametrize(
    ("section", "sent", "told"),
    [
        ("barrel", {"barrel.teeth": "7x"}, "A whole number belongs here"),
        ("barrel", {"barrel.bore_mm": "wide"}, "cannot read &#x27;wide&#x27;"),
        ("barrel", {"barrel.above.pivot_mm": "3.5"}, "must be smaller than hole_mm"),
        ("calendar", {"calendar.jump": "25:00", "calendar@has": "on"}, "a hand time looks like"),
        ("movement", {"name": ""}, "this line must be there"),
        ("weak-points", {"weak_points": "bell \x07"}, "control character"),
        ("bearings", {"bearings.0.hole_mm": "0.2", "bearings.0.arbor": "third"}, "must be there"),
    ],
)
def test_what_cannot_be_read_is_told_at_its_line_and_not_saved(client, own, section, sent, told):
    answer = client.post(at(own, section), {**sent, "seen": "1"})
    assert answer.status_code == 422
    assert told.lower() in answer.content.decode().lower()
    own.refresh_from_db()
    assert own.version == 1


def test_checking_says_what_would_be_and_stores_nothing(client, own):
    sent = {"train.arbors.2.wheel": "57", "train.arbors.2.name": "third", "seen": "1", "check": "1"}
    page = client.post(at(own, "train"), sent).content.decode()
    assert "Checked, not saved yet." in page
    assert "This cannot be right" in page
    assert 'value="57"' in page
    own.refresh_from_db()
    assert own.version == 1
    assert "This cannot be right" not in client.get(at(own, "train")).content.decode()


def test_the_second_of_two_is_told_and_nothing_is_overwritten(client, own, colleague):
    shown = shown_in(client, at(own, "movement"))
    other = Calibre.objects.get(pk=own.pk)
    other.sheet = other.sheet.replace("jewels = 5", "jewels = 7")
    save(other, colleague)
    answer = client.post(at(own, "movement"), {**shown, "jewels": "9"})
    page = answer.content.decode()
    assert answer.status_code == 409
    assert "the colleague has changed this meanwhile" in page.lower()
    assert "Stored now: 7" in page
    assert 'value="9"' in page
    assert line(own, "jewels").value == 7
    again = {**shown, "jewels": "9", "seen": answer.context["seen"]}
    assert client.post(at(own, "movement"), again).status_code == 302
    assert line(own, "jewels").value == 9


def test_a_work_that_is_there_stays_though_nothing_of_it_is_known(client, new):
    shown = shown_in(client, at(new, "winding"))
    assert shown["automatic@has"] == "on"
    client.post(at(new, "winding"), {**shown, "winding.by": "rotor"})
    assert sheet_named("new").automatic is not None
    shown = shown_in(client, at(new, "winding"))
    del shown["automatic@has"]
    client.post(at(new, "winding"), shown)
    assert sheet_named("new").automatic is None
    assert sheet_named("new").winding.by == "rotor"


def test_a_line_of_a_work_that_was_not_ticked_says_that_it_is_there(client, new):
    client.post(at(new, "chronograph"), {"chronograph.wheel_teeth": "200", "seen": "1"})
    assert sheet_named("new").chronograph.wheel_teeth == 200


def test_arbors_are_added_in_their_place_and_taken_away(client, new):
    names = ["barrel", "centre", "fourth", "escape"]
    sent = {f"train.arbors.{n}.name": name for n, name in enumerate(names)}
    sent |= {f"train.arbors.{n}.wheel": str(80 - n) for n in range(4)}
    client.post(at(new, "train"), {**sent, "train.reference": "centre", "seen": "1"})
    assert [each.name for each in sheet_named("new").train.arbors] == names
    third = {"train.arbors.4.name": "third", "train.arbors.4.wheel": "75", "seen": "2",
             "train.arbors.4@place": "2,5"}  # fmt: skip
    client.post(at(new, "train"), third | {f"train.arbors.{n}.name": each
                                            for n, each in enumerate(names)})  # fmt: skip
    arbors = sheet_named("new").train.arbors
    assert [each.name for each in arbors] == ["barrel", "centre", "third", "fourth", "escape"]
    assert arbors[3].wheel == 78
    gone = shown_in(client, at(new, "train")) | {"train.arbors.2@gone": "on"}
    client.post(at(new, "train"), gone)
    assert "third" not in [each.name for each in sheet_named("new").train.arbors]


def test_a_checked_order_is_shown_and_saved_as_it_was_checked(client, own):
    """Counter-case: the places that were typed would order the shown rows once more."""
    names = [each.name for each in sheet_named("own-12").train.arbors]
    sent = shown_in(client, at(own, "train")) | {"train.arbors.4@place": "2,5"}
    page = client.post(at(own, "train"), sent | {"check": "1"}).content.decode()
    form = next(each for each in Forms(page, "").found if "seen" in each.shown)
    client.post(at(own, "train"), form.shown)
    moved = [each.name for each in sheet_named("own-12").train.arbors]
    assert moved == [*names[:2], names[4], *names[2:4], *names[5:]]


def test_names_that_are_only_offered_make_no_train(client, new):
    page = client.get(at(new, "train"))
    assert b'value="escape"' in page.content
    client.post(at(new, "train"), shown_in(client, at(new, "train")))
    assert sheet_named("new").train is None


FOLDED = ("driven_by", "driver_wheel", "friction_spring", "pinion_module_mm", "centre_distance_mm")


def folds(page):
    """Return of each arbor's fold whether it is open."""
    arbors = [
        each.partition("</fieldset>")[0] for each in page.split('<fieldset class="sizes" id=')
    ]
    return ["<details open>" in each for each in arbors if "<details" in each]


def test_rare_lines_of_an_arbor_are_folded_where_nothing_stands_in_them(client, own, new):
    arbors = tree_of(own.sheet)["train"]["arbors"]
    told = [any(name in arbor for name in FOLDED) for arbor in arbors]
    assert set(told) == {True, False}
    assert folds(client.get(at(own, "train")).content.decode()) == [*told, False, False]
    assert folds(client.get(at(new, "train")).content.decode()) == [False] * 5
    assert folds(client.get(at(own, "bearings")).content.decode()) == []


def test_what_is_wrong_in_a_fold_opens_it(client, new):
    sent = {"train.arbors.1.name": "centre", "train.arbors.1.driver_wheel": "6o", "seen": "1"}
    page = client.post(at(new, "train"), sent).content.decode()
    assert folds(page)[:2] == [True, False]
    assert "a whole number belongs here" in page


def test_a_train_is_drawn_beside_as_soon_as_there_is_one(client, own, new):
    assert "<title>Train of Tolvane 26</title>" in client.get(at(own, "train")).content.decode()
    assert "<svg" not in client.get(at(new, "train")).content.decode()
    assert b"<svg" in client.get("/calibres/own-12/train.svg").content
    assert client.get("/calibres/new/train.svg").status_code == 404
    assert b"<svg" in client.get("/calibres/tarnbrook-31/spring.svg").content


def test_the_next_line_is_offered_and_goes_once_it_is_there(client, new):
    page = client.get(at(new, "escapement")).content.decode()
    assert "One more line would tell" in page
    assert f'href="{at(new, "escapement")}#balance.inertia_mg_cm2"' in page
    client.post(at(new, "escapement"), {"balance.inertia_mg_cm2": "12 ± 1", "seen": "1"})
    page = client.get(at(new, "escapement")).content.decode()
    assert "#balance.inertia_mg_cm2" not in page
    assert "stiffness" in page


KNOWN = {
    "directions.centre_wheel_deg": "90", "directions.click_deg": "210",
    "directions.turns": "clockwise", "barrel.ratchet_radius_mm": "3.6",
    "barrel.ratchet_plane_mm": "2.55",
}  # fmt: skip


def test_what_the_lean_under_way_takes_at_its_worst_is_told_until_it_is_known(client, own):
    page = client.get(at(own, "barrel")).content.decode()
    assert "taken at its worst over both ways of turning, all directions of the pinion" in page
    client.post(at(own, "barrel"), KNOWN | {"seen": "1"})
    assert "taken at its worst" not in client.get(at(own, "barrel")).content.decode()
    assert "taken at its worst" not in client.get(at(own, "train")).content.decode()


def test_an_unknown_lift_angle_is_told_with_what_is_taken_and_a_known_one_is_not(client, new):
    for page in ("/calibres/new/", at(new, "limits")):
        assert "52 ± 3°" in client.get(page).content.decode()
    client.post(at(new, "escapement"), {"lift_angle_deg": "50 ± 1", "seen": "1"})
    for page in ("/calibres/new/", at(new, "limits")):
        assert "52 ± 3°" not in client.get(page).content.decode()


def test_a_reading_takes_what_the_record_says(client, new, visit, watch, owner_of_workshop):
    watch.calibre = "new"
    save(watch, owner_of_workshop)
    reading = Reading(visit=Visit.objects.get(pk=visit.pk))
    assert lift_angle(reading) is None
    client.post(at(new, "escapement"), {"lift_angle_deg": "50 ± 1", "seen": "1"})
    assert lift_angle(reading).text() == "50.0 ± 1.0"


def test_a_visits_page_brings_the_sheet_as_it_is_stored_now(
    client, new, visit, watch, owner_of_workshop
):
    watch.calibre = "new"
    save(watch, owner_of_workshop)
    assert sheet_named("new").jewels is None
    Calibre.objects.update(sheet='name = "New"\njewels = 7\n')  # nothing kept is forgotten here
    assert sheet_named("new").jewels is None
    client.get("/visits/2026-001/")
    assert sheet_named("new").jewels == 7


def test_the_file_passes_the_check_and_says_the_same_on_the_command_line(client, own, tmp_path):
    answer = client.get("/calibres/own-12/sheet.toml")
    assert answer["Content-Disposition"] == 'attachment; filename="own-12.toml"'
    path = tmp_path / "own-12.toml"
    path.write_bytes(answer.content)
    check(str(path))
    assert sheet_at(str(path)) == sheet_named("own-12")
    assert findings(sheet_at(str(path))) == findings(sheet_named("own-12"))


def test_an_example_is_copied_and_not_changed(client):
    page = client.get("/calibres/tarnbrook-31/").content.decode()
    assert "can be copied, not changed" in page
    assert "/edit/" not in page
    assert client.get("/calibres/tarnbrook-31/sheet.toml").content.decode() == shipped_text(
        "tarnbrook-31"
    )


def test_who_changed_what_is_told_line_by_line(client, own):
    client.post(at(own, "movement"), {"jewels": "7", "seen": "1"})
    change = Change.objects.filter(kind="calibre").first()
    assert change.fields == {"sheet: jewels": ["5", "7"]}
    page = client.get(f"/calibre/{own.pk}/history/").content.decode()
    assert "5 → 7" in page


def test_a_calibre_that_watches_name_stays_and_one_that_none_names_goes(
    client, own, watch, owner_of_workshop
):
    watch.calibre = "own-12"
    save(watch, owner_of_workshop)
    address = f"/calibre/{own.pk}/remove/"
    answer = client.post(address, {"seen": "1"})
    assert answer.status_code == 422
    assert "one watch has this calibre" in answer.content.decode().lower()
    watch.calibre = ""
    save(watch, owner_of_workshop)
    assert client.post(address, {"seen": "1"}).status_code == 302
    assert sheet_named("own-12") is None
    back = f"/removed/{Removed.objects.get().pk}/take-back/"
    assert client.post(back).url == "/calibres/"
    assert sheet_named("own-12").name == "Tolvane 26"


def test_an_apprentice_changes_a_calibre_too(apprentice_client, own):
    assert apprentice_client.post(at(own, "movement"), {"jewels": "7", "seen": "1"}).url == at(
        own, "movement"
    )


def test_measured_on_a_visit_is_offered_for_visits_of_this_calibre(client, own, visit, watch,
                                                                   owner_of_workshop):  # fmt: skip
    told = "measured on visit 2026-001"
    assert told not in client.get(at(own, "barrel")).content.decode()
    watch.calibre = "own-12"
    save(watch, owner_of_workshop)
    assert told in client.get(at(own, "barrel")).content.decode()


@pytest.mark.parametrize("address", ["/calibre/77/edit/train/", "/calibre/77/history/"])
def test_no_calibre_or_section_is_a_plain_page(client, own, address):
    assert client.get(address).status_code == 404
    assert client.get(at(own, "nothing")).status_code == 404


def test_a_stranger_is_asked_to_sign_in(own):
    assert Client().get(at(own, "train")).url.startswith("/sign-in/")


def test_the_pages_ask_the_database_few_questions(
    client, own, visit, watch, owner_of_workshop, django_assert_max_num_queries
):
    watch.calibre = "own-12"
    save(watch, owner_of_workshop)
    for n in range(9):
        day = date(2025, 1, n + 1)
        save(Visit(number=f"2025-{n}", watch=watch, arrived_on=day, step_since=day),
             owner_of_workshop)  # fmt: skip
    for part in PARTS:
        with django_assert_max_num_queries(9):
            assert client.get(at(own, part.slug)).status_code == 200
