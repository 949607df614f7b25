"""An import is all or none, whatever ends it, and others save meanwhile."""

import json
import signal
from datetime import timedelta

import pytest
from django.utils import timezone
from workshop_process import program

from sideshake.core.errors import InputError
from sideshake.web.base.saving import save
from sideshake.web.models import Change, Owner, TakenIn, TakingIn, Watch
from sideshake.web.storage import taking_in
from sideshake.web.storage.taking_in import import_owners, only_import, take_back_at_start

LINES = "owner,watch\n" + "".join(f"Owner {n},diver {n}\n" for n in range(40))


@pytest.fixture
def small(monkeypatch, tmp_path, db):
    """A file that goes in by eight transactions."""
    monkeypatch.setattr(taking_in, "AT_ONCE", 10)
    monkeypatch.setattr(taking_in, "pause", lambda _took_s: None)
    path = tmp_path / "small.csv"
    path.write_text(LINES)
    return path


def counts():
    return [table.objects.count() for table in (Owner, Watch, Change, TakingIn, TakenIn)]


def ends(at, error):
    """Return a progress that ends the import in its writing half."""

    def progress(done, whole):
        if done >= whole * at:
            raise error

    return progress


def test_all_goes_in_and_no_note_is_left(small):
    seen = []
    import_owners(small, by=None, dry_run=False, progress=lambda *way: seen.append(way))
    assert counts() == [40, 40, 80, 0, 0]
    assert seen[-1][0] == seen[-1][1]
    assert [done for done, _whole in seen] == sorted(done for done, _whole in seen)
    watch = Watch.objects.get(title="diver 7")
    told = Change.objects.get(kind="watch", row=watch.pk)
    assert (watch.owner.name, told.what) == ("Owner 7", "imported watch: diver 7")
    assert told.fields["title"] == [None, "diver 7"]


def test_the_history_tells_the_same_as_of_a_record_saved_by_hand(small, owner_of_workshop):
    import_owners(small, by=owner_of_workshop, dry_run=False)
    by_hand = Owner(name="Owner 7", since=timezone.localdate())
    save(by_hand, owner_of_workshop)
    imported = Change.objects.get(kind="owner", row=Owner.objects.filter(name="Owner 7")[0].pk)
    saved = Change.objects.get(kind="owner", row=by_hand.pk)
    assert (imported.fields, imported.by) == (saved.fields, saved.by)


@pytest.mark.parametrize("error", [KeyboardInterrupt(), InputError("the disk is full")])
@pytest.mark.parametrize("at", [0.55, 0.8, 1])
def test_whatever_ends_it_takes_all_back(small, error, at):
    Owner.objects.create(name="Owner 3")
    with pytest.raises(type(error)):
        import_owners(small, by=None, dry_run=False, progress=ends(at, error))
    assert counts() == [1, 0, 0, 0, 0]


def test_what_was_used_meanwhile_stays(small, owner_of_workshop):
    def use(done, whole):
        if done == whole:
            owner = Owner.objects.get(name="Owner 0")
            owner.phone = "1"
            save(owner, owner_of_workshop)
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        import_owners(small, by=None, dry_run=False, progress=use)
    assert [owner.name for owner in Owner.objects.all()] == ["Owner 0"]
    assert set(Change.objects.values_list("row", flat=True)) == {Owner.objects.get().pk}


def left_by_dead(host, age):
    owner = Owner.objects.create(name="Half")
    taking = TakingIn.objects.create(file="a", host=host, beat_at=timezone.now() - age)
    TakenIn.objects.create(taking=taking, owners=[owner.pk])


@pytest.mark.parametrize(
    ("host", "age_min", "taken"),
    [(None, 0, 1), ("elsewhere", 10, 1), ("elsewhere", 0, 0)],
)
def test_a_dead_import_is_taken_back_at_the_start(db, host, age_min, taken):
    left_by_dead(host or taking_in.socket.gethostname(), timedelta(minutes=age_min))
    assert take_back_at_start() == taken
    assert Owner.objects.count() == 1 - taken


def test_one_that_runs_here_is_left_alone(small):
    left_by_dead(taking_in.socket.gethostname(), timedelta(0))
    with only_import():
        assert take_back_at_start() == 0
        with pytest.raises(InputError, match="another import is running"):
            import_owners(small, by=None, dry_run=False)


def test_one_that_was_taken_for_dead_writes_no_more(small):
    def declared_dead(done, whole):
        if done * 10 > whole * 7:
            TakingIn.objects.all().delete()

    with pytest.raises(InputError, match="start it once more"):
        import_owners(small, by=None, dry_run=False, progress=declared_dead)


PROGRAM = """
import json, os, signal, sys, threading, time
from pathlib import Path
import django
django.setup()
from django.db import connection
from sideshake.web import start
from sideshake.web.storage import taking_in
from sideshake.web.models import Change, Owner, TakingIn, Watch
from sideshake.web.base.saving import save

def counts():
    return [table.objects.count() for table in (Owner, Watch, Change, TakingIn)]

def beside(path):
    waits, end = [], threading.Event()
    mine = Owner.objects.create(name="mine")
    def write():
        while not end.is_set():
            begun = time.monotonic()
            mine.note = str(len(waits))
            save(mine, None)
            waits.append(time.monotonic() - begun)
            time.sleep(0.02)
        connection.close()
    other = threading.Thread(target=write)
    other.start()
    taking_in.import_owners(path, by=None, dry_run=False)
    end.set()
    other.join()
    return {"waits": waits}

def killed(path):
    def die(done, whole):
        if done * 10 > whole * 7:
            os.kill(os.getpid(), signal.SIGKILL)
    taking_in.import_owners(path, by=None, dry_run=False, progress=die)

found = start.open_workshop()
parts = {"beside": beside, "killed": killed, "opened": lambda path: {}}
said = parts[sys.argv[1]](Path(sys.argv[2]))
print(json.dumps({"taken_back": found.taken_back, "counts": counts(), **said}))
"""


@pytest.fixture
def workshop(tmp_path, address):
    """Run a part of PROGRAM in a process of its own, on a workshop of its own."""
    path = tmp_path / "many.csv"
    path.write_text("owner,watch\n" + "".join(f"Owner {n},diver {n}\n" for n in range(1500)))
    return lambda part: program(tmp_path / "data", PROGRAM, part, str(path), address=address)


@pytest.mark.on_postgresql
def test_others_save_meanwhile(workshop):
    ran = workshop("beside")
    assert ran.returncode == 0, ran.stderr
    said = json.loads(ran.stdout)
    assert said["counts"][:2] == [1501, 1500]
    assert len(said["waits"]) >= 3
    assert max(said["waits"]) < 10  # a save gives up after 20 s


@pytest.mark.on_postgresql
def test_a_kill_takes_all_back_at_the_next_start(workshop):
    assert workshop("killed").returncode == -signal.SIGKILL
    said = json.loads(workshop("opened").stdout)
    assert said["taken_back"] > 0
    assert said["counts"] == [0, 0, 0, 0]
