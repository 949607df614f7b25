"""A season of a few visits, its files made once."""

from dataclasses import replace
from datetime import date

import pytest

from sideshake.demo.season import season
from sideshake.demo.workshop.making import make_files

FEW = ("leaning-barrel", "stationmaster-44", "ferryman-4")
TODAY = date(2026, 11, 25)


def of_visits(whole, keys):
    return replace(whole, visits=tuple(each for each in whole.visits if each.key in keys))


@pytest.fixture(scope="session")
def few():
    """Three visits: on the bench with jewels and a worn barrel, on the bench, just arrived."""
    return of_visits(season(TODAY), FEW)


@pytest.fixture(scope="session")
def arrived_only():
    return of_visits(season(TODAY), ["ferryman-4"])


@pytest.fixture(scope="session")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("season")


@pytest.fixture(scope="session")
def told():
    """What was told of the progress."""
    return []


@pytest.fixture(scope="session")
def files(few, folder, told):
    return make_files(few, folder, lambda done, of: told.append((done, of)))
