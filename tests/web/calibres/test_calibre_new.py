"""New calibres: from five questions, as a copy, from a visit, from a file."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from sideshake.movement.sheet_file import sheet_from_text, shipped_sheet, shipped_text
from sideshake.web.base.saving import save
from sideshake.web.calibres.sheets import sheet_named
from sideshake.web.models import Calibre, Reading, Watch

NEW, FILE = "/calibre/new/", "/calibre/file/"
BLANK = {"how": "blank", "blank-title": "Corbel 11", "blank-beats": "19800"}
COPY = {"how": "copy", "copy-title": "Corbel 11", "copy-like": "tarnbrook-31"}


@pytest.fixture
def bare(watch, owner_of_workshop):
    watch.calibre, watch.calibre_seen = "", "Corbel 11"
    save(watch, owner_of_workshop)
    return watch


def test_five_questions_make_a_calibre(client):
    works = {"blank-chronograph": "on", "blank-automatic": "on"}
    made = client.post(NEW, BLANK | works | {"blank-lift_angle": "51 ± 2"})
    row = Calibre.objects.get()
    assert made.url == f"/calibre/{row.pk}/edit/train/"
    sheet = sheet_named("corbel-11")
    assert (sheet.name, sheet.beats_per_hour, sheet.lift_angle_deg.text()) == (
        "Corbel 11", 19800, "51.0 ± 2.0"
    )  # fmt: skip
    assert sheet.chronograph is not None
    assert sheet.automatic is not None
    assert sheet.calendar is None


def test_what_is_not_known_is_not_written(client):
    client.post(NEW, {"how": "blank", "blank-title": "Corbel 11"})
    assert Calibre.objects.get().sheet == 'name = "Corbel 11"\n'


@pytest.mark.parametrize(
    ("sent", "told"),
    [
        ({"blank-lift_angle": "steep"}, "Cannot read"),
        ({"blank-lift_angle": "-3"}, "above 0°"),
        ({"blank-beats": "0"}, "greater than or equal to 1"),
        ({"blank-title": "a\x07b"}, "control character"),
        ({"blank-title": ""}, "required"),
    ],
)
def test_an_answer_that_cannot_be_is_told_and_nothing_is_made(client, sent, told):
    answer = client.post(NEW, BLANK | sent)
    assert answer.status_code == 422
    assert told in answer.content.decode()
    assert not Calibre.objects.exists()


def test_a_copy_has_all_of_it_and_is_no_example(client):
    assert client.get(f"{NEW}?like=tarnbrook-31").content.count(b"selected") == 1
    client.post(NEW, COPY)
    sheet, like = sheet_named("corbel-11"), shipped_sheet("tarnbrook-31")
    assert set(sheet.sources) == set(like.sources)
    same = {"name": like.name, "invented": True, "sources": like.sources}
    assert sheet.model_copy(update=same) == like
    assert sheet.invented is None


def test_a_second_of_the_same_title_has_a_name_of_its_own(client):
    client.post(NEW, BLANK)
    client.post(NEW, BLANK)
    client.post(NEW, BLANK | {"blank-title": "Tarnbrook 31"})
    client.post(NEW, BLANK | {"blank-title": "№ ☼"})
    names = list(Calibre.objects.order_by("pk").values_list("name", flat=True))
    assert names == ["corbel-11", "corbel-11-2", "tarnbrook-31-2", "no"]


def test_two_who_make_one_of_a_name_at_once_are_told(client, monkeypatch):
    client.post(NEW, BLANK)
    monkeypatch.setattr("sideshake.web.calibres.services.free_name", lambda _title: "corbel-11")
    answer = client.post(NEW, BLANK)
    assert answer.status_code == 422
    assert "try once more" in answer.content.decode()
    assert Calibre.objects.count() == 1


def test_from_a_visit_the_watch_has_it_at_once(client, visit, bare):
    Reading.objects.create(visit=visit, state="heard", beats_per_hour=19800)
    page = client.get("/visits/2026-001/").content.decode()
    assert f"{NEW}?visit=2026-001" in page
    form = client.get(f"{NEW}?visit=2026-001").content.decode()
    assert 'value="Corbel 11"' in form
    assert 'value="19800"' in form
    client.post(NEW, BLANK | {"visit": "2026-001", "seen": bare.version})
    assert Watch.objects.get().calibre == "corbel-11"
    assert sheet_named("corbel-11").source("beats_per_hour").text == "heard on visit 2026-001"
    assert f"{NEW}?visit=" not in client.get("/visits/2026-001/").content.decode()


def test_beats_that_were_typed_otherwise_were_not_heard(client, visit, bare):
    Reading.objects.create(visit=visit, state="heard", beats_per_hour=18000)
    client.post(NEW, BLANK | {"visit": "2026-001", "seen": bare.version})
    assert sheet_named("corbel-11").source("beats_per_hour").text == ""


def test_a_watch_that_has_one_is_refused(client, visit):
    answer = client.post(NEW, BLANK | {"visit": "2026-001", "seen": "1"})
    assert answer.status_code == 422
    assert "has the calibre tarnbrook-31 already" in answer.content.decode()
    assert not Calibre.objects.exists()


def test_a_watch_that_was_changed_meanwhile_is_not_overwritten(client, visit, bare, colleague):
    before = bare.version
    bare.note = "x"
    save(bare, colleague)
    answer = client.post(NEW, COPY | {"visit": "2026-001", "seen": before})
    assert answer.status_code == 409
    assert not Calibre.objects.exists()
    assert Watch.objects.get().calibre == ""
    again = answer.context["seen"]
    assert client.post(NEW, COPY | {"visit": "2026-001", "seen": again}).status_code == 302
    assert Watch.objects.get().calibre == "corbel-11"


def sent_file(client, text, **more):
    data = text if isinstance(text, bytes) else text.encode()
    return client.post(FILE, {"file": SimpleUploadedFile("a.toml", data), **more})


def test_a_file_is_told_of_first_and_stored_at_a_yes(client):
    text = "# Of a friend.\n" + shipped_text("vennick-41")
    page = sent_file(client, text)
    assert "Nothing is stored yet" in page.content.decode()
    assert not Calibre.objects.exists()
    client.post(FILE, {"text": text, "into": "new"})
    row = Calibre.objects.get()
    assert row.name == "vennick-41-2"  # the example keeps its own
    assert row.note.startswith("Of a friend.")
    assert set(sheet_named(row.name).sources) == set(sheet_from_text(text).sources)
    assert "# Of a friend." in client.get(f"/calibres/{row.name}/sheet.toml").content.decode()


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ('name = "A"\nteeth = ?\n', "line 2"),
        (
            'name = "A"\n\n[barrel]\nteeht = 80\n',
            "Line 4: barrel.teeht: no such line; did you",
        ),
        ('name = "A"\njewels = "many"\n', "Line 2: jewels (functional jewels"),
        ("", "name (the calibre&#x27;s name): this line must be there"),
        (b"\xff", "is no UTF-8 text"),
        (b"#" * 500_001, "larger than any sheet"),
    ],
)
def test_a_file_that_cannot_be_read_is_told_with_line_and_cure(client, text, told):
    answer = sent_file(client, text)
    assert answer.status_code == 422
    assert told.lower() in " ".join(answer.content.decode().split()).lower()
    client.post(FILE, {"text": text if isinstance(text, str) else "x", "into": "new"})
    assert not Calibre.objects.exists()


def test_what_cannot_be_is_told_with_its_line_and_what_is_allowed(client):
    text = 'name = "A"\n\n[balance]\nmass_mg = 55000\n'
    page = " ".join(sent_file(client, text).content.decode().split())
    assert "Line 4: balance.mass_mg" in page
    assert "it lies between 4 and 1200" in page
    sound = sent_file(client, text.replace("55000", "55")).content.decode()
    assert "This cannot be right" not in sound


def test_a_file_becomes_the_next_version_of_the_one_it_is(client, colleague):
    client.post(NEW, BLANK)
    row = Calibre.objects.get()
    text = 'name = "Corbel 11"\nbeats_per_hour = 21600\n'
    page = sent_file(client, text).content.decode()
    assert "Take it in as the next version of corbel-11" in page
    assert client.post(FILE, {"text": text, "into": row.pk, "seen": "0"}).status_code == 409
    client.post(FILE, {"text": text, "into": row.pk, "seen": "1"})
    row.refresh_from_db()
    assert (row.version, sheet_named("corbel-11").beats_per_hour) == (2, 21600)
    assert Calibre.objects.count() == 1


def test_a_file_for_a_calibre_of_another_title_finds_it_too(client):
    client.post(NEW, BLANK)
    page = sent_file(client, 'name = "Other"\n', **{"for": "corbel-11"}).content.decode()
    assert "next version of corbel-11" in page
    assert "next version" not in sent_file(client, 'name = "Other"\n').content.decode()


def test_a_file_of_the_longest_title_finds_the_one_it_made(client):
    title = "Corbel 11 " + 70 * "x"
    client.post(NEW, BLANK | {"blank-title": title})
    made = Calibre.objects.get().name
    assert len(made) < len(title)
    page = sent_file(client, f'name = "{title}"\n').content.decode()
    assert f"next version of {made}" in page


def test_an_apprentice_makes_one_too(apprentice_client):
    assert apprentice_client.post(NEW, BLANK).status_code == 302
