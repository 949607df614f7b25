"""The workshop as a real process: opened, closed, killed with -9 in the middle of its work."""

import contextlib
import http.client
import io
import re
import signal
import sqlite3
import time
from pathlib import Path
from threading import Thread

import pytest
from own_database import own_database
from PIL import Image
from workshop_process import PATIENCE_S, Open, free_port, program, run


@pytest.fixture
def workshop(tmp_path):
    """Open workshops in one folder; whatever is still open afterwards is closed."""
    opened = []

    def open_one(*tokens, **more):
        opened.append(Open(tmp_path / "data", *tokens, **more))
        return opened[-1]

    yield open_one
    for each in opened:
        if each.process.poll() is None:
            each.kill()


def whole(data):
    """Return whether SQLite finds its own file whole."""
    with sqlite3.connect(data / "workshop.sqlite3") as database:
        (answer,) = database.execute("PRAGMA integrity_check").fetchone()
    database.close()
    return answer == "ok"


def test_the_first_start_makes_everything_and_the_link_opens_the_door(workshop):
    first = workshop(first=True)
    assert "This is a new workshop" in first.text
    assert first.data.stat().st_mode & 0o777 == 0o700
    assert (first.data / "secret").stat().st_mode & 0o777 == 0o600
    first.come_in()
    assert "In the workshop" in first.get("/") or "<h1" in first.get("/")
    code, rest, errors = first.close()
    assert (code, errors) == (0, "")
    assert "The workshop is closed." in rest
    assert not (first.data / "running").exists()
    second = workshop()
    assert "not closed properly" not in second.text
    assert "new workshop" not in second.text


def test_it_is_bound_to_this_computer_alone(workshop):
    opened = workshop()
    port = int(opened.base.rsplit(":", 1)[1])
    listening = Path("/proc/net/tcp").read_text() if Path("/proc/net/tcp").exists() else ""
    assert f"0100007F:{port:04X} 00000000:0000 0A" in listening
    assert f"00000000:{port:04X} 00000000:0000 0A" not in listening


HEAVY = """
import sys, django
django.setup()
import sideshake.web.serve, sideshake.web.start, sideshake.web.urls
print(sorted({"altair", "vl_convert", "scipy.signal", "scipy.optimize", "scipy.stats", "ezdxf"}
    & set(sys.modules)))
"""


def test_a_start_loads_nothing_that_only_some_pages_need(tmp_path):
    # what a start in two seconds depends on; benchmarks/workshop.py measures it
    said = program(tmp_path, HEAVY)
    assert said.returncode == 0, said.stderr
    assert said.stdout.splitlines()[-1] == "[]"


def test_a_second_start_is_told_where_the_first_is(workshop):
    first = workshop()
    answer = run(first.data, "bench", "--no-browser")
    assert answer.returncode == 2
    assert f"is open already ({first.base})" in answer.stderr


def test_a_taken_port_gives_the_next_one(workshop, tmp_path):
    first = workshop()
    port = first.base.rsplit(":", 1)[1]
    assert "is taken" not in first.text
    second = Open(tmp_path / "other", "--port", port)
    try:
        assert second.base != first.base
        assert f"port {port} is taken" in second.text
    finally:
        second.kill()


def test_a_saved_thing_survives_kill_9_right_after_the_answer(workshop):
    opened = workshop().come_in()
    status, _page = opened.post("/settings/", name="Am Bach")
    opened.kill()
    assert status == 200
    again = workshop()
    assert "Last time the workshop was not closed properly" in again.text
    again.come_in()
    assert "Am Bach" in again.get("/settings/")
    again.close()
    assert whole(again.data)


def test_kill_9_is_told_once_in_the_browser_too(workshop):
    workshop().kill()
    again = workshop().come_in()  # coming in leads to the first page
    again.kill()
    third = workshop()
    status, page = third.post(third.link)
    assert status == 200
    assert "not closed properly" in page
    assert "not closed properly" not in third.get("/")


def test_kill_9_in_the_middle_of_an_upload_leaves_nothing_of_it(workshop):
    opened = workshop().come_in()
    upload = begin_upload(opened, sent_bytes=20 * 1024**2)
    half = opened.data / "uploading" / "half.upload"
    half.write_bytes(b"x" * 1000)  # as Django leaves it when it was just reading the form
    (opened.data / "files" / "photographs").mkdir()
    (opened.data / "files" / "photographs" / ".unfinished-0a1b").write_bytes(b"y" * 1000)
    opened.kill()
    upload.close()
    again = workshop()
    assert "2 unfinished uploads were thrown away; everything saved before is here." in again.text
    assert not list((again.data / "uploading").iterdir())
    assert not [p for p in (again.data / "files").rglob("*") if p.is_file()]
    again.close()
    assert whole(again.data)


def begin_upload(opened, sent_bytes):
    """Send the first part of a large request and leave it there."""
    host = opened.base.removeprefix("http://")
    upload = http.client.HTTPConnection(host, timeout=PATIENCE_S)
    upload.putrequest("POST", "/settings/")
    upload.putheader("Content-Length", str(1024**3))
    upload.putheader("Cookie", "; ".join(f"{each.name}={each.value}" for each in opened.cookies))
    upload.putheader("Content-Type", "multipart/form-data; boundary=between")
    upload.endheaders()
    for _ in range(sent_bytes // 1024**2):
        upload.send(b"z" * 1024**2)
    time.sleep(0.5)
    return upload


def test_many_saves_killed_at_any_moment_lose_none_that_was_answered(workshop):
    for round_number in range(3):
        opened = workshop().come_in()
        last = ""
        deadline = time.monotonic() + 0.4 + 0.17 * round_number
        while time.monotonic() < deadline:
            name = f"Saved {round_number} {time.monotonic_ns()}"
            status, _page = opened.post("/settings/", name=name)
            assert status == 200
            last = name
        opened.kill()
        again = workshop().come_in()
        assert last in again.get("/settings/")
        again.close()
    assert whole(opened.data)


def test_the_second_of_two_people_at_one_visit_gets_409_with_both_texts(workshop):
    opened = workshop().come_in()
    arrival = opened.new_visit() + "arrival/"
    seen_by_both = opened.form(arrival)
    assert opened.post(arrival, seen_by_both, complaint="Stops at night.")[0] == 200
    status, page = opened.post(arrival, seen_by_both, complaint="Loses an hour a day.")
    assert status == 409
    assert "Stops at night." in page
    assert "Loses an hour a day." in page
    assert opened.form(arrival)["complaint"].strip() == "Stops at night."


def drawn_png():
    buffer = io.BytesIO()
    Image.effect_noise((640, 480), 60).convert("RGB").save(buffer, "PNG")
    return buffer.getvalue()


def test_a_photograph_survives_kill_9_right_after_the_answer(workshop):
    opened = workshop().come_in()
    visit = opened.new_visit()
    status, page = opened.upload(visit + "photographs/add/", "photographs", drawn_png())
    opened.kill()
    assert status == 200, page
    address = re.search(r"/photographs/\d+/", page).group(0)
    again = workshop().come_in()
    with again.browser.open(again.base + address + "original/", timeout=PATIENCE_S) as answer:
        assert Image.open(io.BytesIO(answer.read())).size == (640, 480)
    again.close()
    assert whole(again.data)


def test_photographs_killed_at_any_moment_are_whole_or_not_there(workshop):
    opened = workshop().come_in()
    visit = opened.new_visit()
    for delay_s in (0.02, 0.08, 0.2):
        upload = Thread(target=broken_off, args=(opened, visit), daemon=True)
        upload.start()
        time.sleep(delay_s)
        opened.kill()
        upload.join(timeout=PATIENCE_S)
        opened = workshop().come_in()
        page = opened.get(visit)
        for address in set(re.findall(r"/photographs/\d+/", page)):
            with opened.browser.open(opened.base + address + "original/") as answer:
                Image.open(io.BytesIO(answer.read())).load()
        assert not list((opened.data / "uploading").iterdir())
        assert not list((opened.data / "files").rglob(".unfinished*"))
    opened.close()
    assert whole(opened.data)


def broken_off(opened, visit):
    with contextlib.suppress(OSError, http.client.HTTPException):
        opened.upload(visit + "photographs/add/", "photographs", drawn_png())


def test_lan_is_refused_without_a_password_and_says_how_to_set_one(tmp_path):
    answer = run(tmp_path / "data", "bench", "--lan", "--no-browser")
    assert answer.returncode == 2
    assert "somebody needs a password first" in answer.stderr
    assert "sideshake bench --password owner" in answer.stderr
    assert not (tmp_path / "data" / "running").exists()


def test_with_a_password_the_network_is_let_in_and_warned(tmp_path):
    data = tmp_path / "data"
    assert run(data, "bench", "--lan", "--no-browser").returncode == 2
    set_password = """
import django; django.setup()
from sideshake.web.start import person_named, set_checked_password
set_checked_password(person_named("owner"), "the fourth wheel turns")
"""
    assert program(data, set_password).returncode == 0
    opened = Open(data, "--lan", "--port", str(free_port()))
    opened.come_in()
    opened.process.send_signal(signal.SIGTERM)
    assert opened.end()[0] == 0
    assert "is not encrypted" in opened.text
    assert re.search(r"Other devices in this network find it at http://[\d.]+:\d+", opened.text)


def test_a_backup_goes_from_one_folder_to_another(workshop, tmp_path):
    opened = workshop().come_in()
    opened.post("/settings/", name="Am Bach")
    archive = tmp_path / "all.zip"
    made = run(opened.data, "backup", str(archive))  # while the workshop is open
    assert made.returncode == 0, made.stderr
    assert re.search(r"was read back: \d+ records, 0 files and 0 calibres of your own", made.stdout)
    refused = run(opened.data, "restore", str(archive), "--replace")
    assert refused.returncode == 2
    assert "is open; close it first" in refused.stderr
    opened.close()
    back = run(tmp_path / "other", "restore", str(archive))
    assert back.returncode == 0, back.stderr
    assert "The workshop is as it was at" in back.stdout
    again = run(tmp_path / "data", "restore", str(archive), "--replace")
    assert again.returncode == 0, again.stderr


def test_a_damaged_archive_is_one_sentence(tmp_path):
    (tmp_path / "bad.zip").write_bytes(b"PK\x03\x04 and then nothing")
    answer = run(tmp_path / "data", "restore", str(tmp_path / "bad.zip"))
    assert answer.returncode == 2
    assert answer.stderr.count("\n") == 1
    assert "damaged or cut short; nothing was changed" in answer.stderr


@pytest.mark.parametrize(
    ("address", "said"),
    [
        ("mysql://somewhere/x", "must begin with postgresql://"),
        ("postgresql://nobody@127.0.0.1:1/none", "the database cannot be reached"),
        ("nonsense", "DATABASE_URL"),
    ],
)
def test_a_wrong_database_address_is_told_in_a_sentence(tmp_path, address, said):
    answer = run(tmp_path / "data", "bench", "--no-browser", DATABASE_URL=address)
    assert answer.returncode == 2
    assert said in answer.stderr
    assert "Traceback" not in answer.stderr


ONE_MOMENT = """
import django; django.setup()
from threading import Thread
from django.db import connection
from sideshake.web.storage.snapshot import one_moment
from sideshake.web.models import Owner
from sideshake.web.start import open_workshop
open_workshop()
Owner.objects.create(name="first")
def write():
    Owner.objects.create(name="second")
    connection.close()
with one_moment():
    before = Owner.objects.count()
    thread = Thread(target=write); thread.start(); thread.join(5)
    print("waits" if thread.is_alive() else "written", before, Owner.objects.count())
print(Owner.objects.count())
"""


@pytest.mark.on_postgresql
def test_a_backup_sees_one_moment_and_nobody_waits_for_it(tmp_path):
    with own_database() as address:
        ran = program(tmp_path, ONE_MOMENT, address=address)
    said = ran.stdout.split()
    assert said[0] == "written", ran.stderr
    assert said[1] == said[2]
    assert int(said[3]) == int(said[2]) + 1
