"""A calibre made at a real browser: from a visit to a drawn train, without leaving the pages."""

import pytest

from sideshake.web.base.saving import save
from sideshake.web.calibres.sheets import sheet_named
from sideshake.web.models import Calibre, Watch

COUNTS = {0: ("", "80"), 1: ("10", "80"), 2: ("10", "75"), 3: ("10", "80"), 4: ("10", "15")}
"""The escape pinion has 8: with 10 the train makes 14 400 beats an hour, and is told of."""


@pytest.fixture
def bare(visit, restorer):
    watch = visit.watch
    watch.calibre, watch.calibre_seen = "", "Corbel 11"
    save(watch, restorer)
    return watch


def count(desk, line: str, text: str) -> None:
    """Write a count of an arbor and leave the field: it is checked then."""
    desk.page.fill(f"[id='train.arbors.{line}']", text)
    desk.page.keyboard.press("Tab")


def test_a_visit_without_a_calibre_gets_one_by_keyboard(open_desk, restorer, bare):
    desk = open_desk(restorer)
    desk.go("/visits/2026-001/")
    desk.enter("New calibre for it")
    desk.look()
    desk.write("Beats an hour", "18000")
    desk.enter("Make it")
    desk.shows("Train", "Visit 2026-001 has this calibre now.", "52 ± 3°")
    desk.write("An arbor whose speed is known", "centre")
    desk.write("Its turns an hour", "1")
    desk.enter("Save")
    desk.shows("Saved: Train.")
    assert Watch.objects.get().calibre == "corbel-11"
    assert sheet_named("corbel-11").train.reference == "centre"


def test_a_train_is_drawn_and_checked_while_its_counts_are_typed(open_desk, restorer):
    text = 'name = "Corbel 11"\nbeats_per_hour = 18000\n'
    text += '[train]\nreference = "centre"\nreference_turns_per_hour = "1"\n'
    row = Calibre.objects.create(name="corbel-11", sheet=text)
    desk = open_desk(restorer)
    desk.go(f"/calibre/{row.pk}/edit/train/")
    for number, (leaves, teeth) in COUNTS.items():
        count(desk, f"{number}.pinion", leaves)
        count(desk, f"{number}.wheel", teeth)
    desk.page.get_by_role("img", name="Train of Corbel 11").wait_for()
    desk.page.get_by_text("This cannot be right").wait_for()
    assert sheet_named("corbel-11").train.arbors == ()
    count(desk, "4.pinion", "8")
    desk.page.get_by_text("18000 beats an hour").wait_for()
    desk.look()
    desk.enter("Save")
    desk.shows("Saved: Train.")
    assert len(sheet_named("corbel-11").train.arbors) == len(COUNTS)


def test_a_file_is_chosen_told_of_and_taken_in_on_a_telephone(open_desk, restorer):
    desk = open_desk(restorer, size="telephone")
    desk.expected |= {422}
    desk.go("/calibre/file/")
    wrong = b'name = "Corbel 11"\n[barrel]\nteeht = 80\n'
    desk.page.set_input_files("#file", {"name": "a.toml", "mimeType": "", "buffer": wrong})
    desk.press("s")
    desk.shows("Line 3: barrel.teeht: no such line; did you mean teeth")
    desk.look()
    desk.page.fill("#text", wrong.decode().replace("teeht", "teeth"))
    desk.page.get_by_role("button", name="Check it again").click()
    desk.shows("Corbel 11 can be read. Nothing is stored yet.")
    desk.look()
    assert not Calibre.objects.exists()
    desk.page.get_by_role("button", name="Take it in", exact=False).first.click()
    desk.shows("Taken in: corbel-11.")
    desk.look()
