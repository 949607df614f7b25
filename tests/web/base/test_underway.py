"""What goes on in memory for a while: found by its key, let go of when it is over or too old."""

from dataclasses import dataclass

import pytest

from sideshake.core.errors import InputError
from sideshake.web.base.underway import MOST, Underway


@dataclass
class Row:
    touched_at: float = 0.0


def test_what_has_begun_is_found_by_its_key_until_it_ends():
    rows = Underway(gone="it is over")
    key, row = rows.begin(made := Row()), made
    assert rows.at(key) is row
    rows.end(key)
    rows.end(key)
    with pytest.raises(InputError, match="it is over"):
        rows.at(key)


def test_keys_cannot_be_guessed_from_one_another():
    rows = Underway(gone="it is over")
    keys = {rows.begin(Row()) for _each in range(MOST)}
    assert len(keys) == MOST
    assert min(map(len, keys)) >= 16


def test_the_one_touched_longest_ago_makes_room():
    rows = Underway(gone="it is over")
    keys = [rows.begin(Row(touched_at=at)) for at in range(1, MOST + 1)]
    rows.at(keys[0]).touched_at = 99.0
    new = rows.begin(Row(touched_at=100.0))
    assert set(rows.rows) == {new, keys[0], *keys[2:]}
