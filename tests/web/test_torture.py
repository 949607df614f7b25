"""A small part of `benchmarks/torture.py`: six kills, and strains that take no time."""

import pytest
from own_database import own_database
from strained import TRIALS, WRONG_ADDRESSES, trials_on, wrong_addresses
from tortured import KINDS, Kept, Tortured, torture

KILLED = ("save", "upload", "listen", "backup", "restore", "save")


@pytest.fixture
def tortured(tmp_path):
    """A workshop of its own: to open it takes seconds, so one test sees it hold, and then lose."""
    with own_database() as address:
        found = Tortured(tmp_path, address=address, seed=4, long_s=2.0)
        yield found
        found.close()


def test_six_kills_lose_nothing_that_was_acknowledged_and_a_loss_would_be_seen(tortured):
    tallies = torture(tortured, len(KILLED), KILLED, seen=lambda *_each: None)
    assert [tally.lost for tally in tallies.values() if tally.lost] == []
    assert [tally.not_told for tally in tallies.values() if tally.not_told] == []
    assert sum(tally.kills for tally in tallies.values()) == len(KILLED)
    assert tortured.ledger.count >= 5
    assert set(KILLED) < set(KINDS)
    tortured.close()
    a_loss_is_seen(tortured)


def a_loss_is_seen(tortured):
    """Spoil the files and forget the last number: what looks for losses must tell each."""
    assert Kept(tortured).lost() == []
    for path in (tortured.data / "files").rglob("*"):
        if path.suffix in (".png", ".wav"):
            path.write_bytes(b"")
    tortured.ledger.counter = tortured.number + 1  # what was killed may be there, unacknowledged
    lost = Kept(tortured).lost()
    assert any(each.startswith("photograph") for each in lost)
    assert any(each.startswith("recording") for each in lost)
    assert any("was acknowledged" in each for each in lost)


class Elsewhere:
    """No workshop is needed to be refused."""

    def __init__(self, folder):
        self.folder = folder


def test_an_address_without_a_database_name_is_refused_in_a_sentence(tmp_path, monkeypatch):
    assert "postgresql://" in WRONG_ADDRESSES
    monkeypatch.setattr("strained.WRONG_ADDRESSES", ("postgresql://", "postgres"))
    assert wrong_addresses(Elsewhere(tmp_path)) == []


def test_each_strain_is_tried_where_it_can_be_and_only_there():
    on_file, on_server = trials_on(""), trials_on("postgresql:///workshop")
    assert "several benches on one database" not in on_file
    assert "a damaged database" not in on_server
    assert on_file | on_server == TRIALS
    assert len(on_file) == len(on_server) == len(TRIALS) - 1
