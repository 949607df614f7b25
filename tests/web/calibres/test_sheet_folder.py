"""The folder of own sheets of earlier times, taken in at a start: once, and nothing is lost."""

import pytest

from sideshake.movement.sheet_file import sheet_at, shipped_text
from sideshake.web.base.saving import remove, save
from sideshake.web.calibres.sheet_folder import take_in_folder
from sideshake.web.calibres.sheets import sheet_named, sheet_names
from sideshake.web.models import Calibre, Change
from sideshake.web.start import sheet_news
from sideshake.web.storage.backup import write_backup
from sideshake.web.storage.restore import restore

pytestmark = pytest.mark.django_db
SHEET = '# Of a friend.\nname = "Own 12"\nlift_angle_deg = 50 # read off\nbeats_per_hour = 18000\n'


@pytest.fixture
def folder(data):
    made = data / "calibres"
    made.mkdir()
    (made / "own-12.toml").write_text(SHEET, "utf-8")
    return made


def test_each_file_is_a_calibre_now_and_stays_where_it_is(folder):
    assert take_in_folder().taken == ("own-12",)
    row = Calibre.objects.get()
    assert (row.name, row.note) == ("own-12", "Of a friend.\nread off")
    assert sheet_named("own-12") == sheet_at(str(folder / "own-12.toml"))
    assert (folder / "own-12.toml").read_text("utf-8") == SHEET
    assert "own-12 came in from the folder" in sheet_news(take_again(folder))[0]


def take_again(folder):
    (folder / "own-12.toml").write_text(SHEET + "jewels = 7\n", "utf-8")
    Calibre.objects.all().delete()
    return take_in_folder()


def test_it_is_taken_in_once_whatever_becomes_of_it(folder, owner_of_workshop):
    take_in_folder()
    row = Calibre.objects.get()
    row.sheet = 'name = "Other"\n'
    save(row, owner_of_workshop)
    assert (take_in_folder().taken, take_in_folder().left) == ((), ())
    assert sheet_named("own-12").name == "Other"
    remove(row, owner_of_workshop)
    assert take_in_folder().taken == ()
    assert not Calibre.objects.exists()
    assert sheet_news(take_in_folder()) == []


def test_a_file_that_was_changed_since_is_told_and_not_taken(folder):
    take_in_folder()
    (folder / "own-12.toml").write_text(SHEET + "jewels = 7\n", "utf-8")
    found = take_in_folder()
    assert found.taken == ()
    assert "There is a calibre own-12 already" in found.left[0]
    assert sheet_named("own-12").jewels is None


@pytest.mark.parametrize(
    ("held", "why"),
    [
        (b"name = ", "not valid TOML"),
        (b'name = "A"\njewels = "many"', "jewels"),
        (b"\xff\xfe", "no UTF-8 text"),
        (b"", "name"),
        (b"#" * 500_001, "larger than any sheet"),
    ],
)
def test_a_bad_file_stops_nothing_and_is_told_until_it_is_mended(folder, held, why):
    bad = folder / "bad.toml"
    bad.write_bytes(held)
    first = take_in_folder()
    assert first.taken == ("own-12",)
    (told,) = take_in_folder().left
    assert told.startswith("The file calibres/bad.toml was left alone:")
    assert why in told
    assert bad.read_bytes() == held
    bad.write_text('name = "Mended"\n', "utf-8")
    assert take_in_folder().taken == ("bad",)


def test_without_a_folder_nothing_is_taken_in_and_nothing_told():
    assert sheet_news(take_in_folder()) == []


def test_a_file_named_as_an_example_comes_first_as_it_did(folder):
    (folder / "tarnbrook-31.toml").write_text(SHEET, "utf-8")
    take_in_folder()
    assert sheet_named("tarnbrook-31").name == "Own 12"
    assert sheet_names().count("tarnbrook-31") == 1


def test_a_restored_backup_has_every_calibre_and_takes_no_file_in_again(folder, tmp_path):
    take_in_folder()
    Calibre.objects.create(name="made-here", sheet=shipped_text("vennick-41"))
    before = list(Calibre.objects.values())
    write_backup(tmp_path / "all.zip")
    Calibre.objects.all().delete()
    restore(tmp_path / "all.zip", replace=True)
    assert list(Calibre.objects.values()) == before
    assert take_in_folder().taken == ()
    assert (folder / "own-12.toml").read_text("utf-8") == SHEET


def test_a_backup_from_before_brings_its_files_which_are_taken_in(folder, tmp_path):
    write_backup(tmp_path / "old.zip")
    take_in_folder()
    Calibre.objects.update(sheet='name = "Other"\n')
    restore(tmp_path / "old.zip", replace=True)
    assert not Calibre.objects.exists()
    assert take_in_folder().taken == ("own-12",)


def test_who_and_whence_stands_in_the_history(folder):
    take_in_folder()
    rows = Change.objects.filter(kind="calibre").order_by("pk")
    assert "taken in from the file own-12.toml" in rows[0].what
    assert rows[0].fields["sheet: lift_angle_deg"] == [None, "50"]
    assert rows[1].fields["file"][1].startswith("own-12.toml ")
