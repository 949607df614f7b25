"""For all tests: no deadline on single examples, since a busy machine is no fault of the code."""

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command does, before numpy is loaded

import pytest
from hypothesis import settings

settings.register_profile("house", deadline=None)
settings.load_profile("house")


@pytest.hookimpl(hookwrapper=True)
def pytest_runtest_makereport():
    """Where nothing may be skipped (.ci/run says so), what is skipped has failed."""
    outcome = yield
    forbid_skipping(outcome.get_result())


@pytest.hookimpl(hookwrapper=True)
def pytest_make_collect_report():
    """The same for whole files."""
    outcome = yield
    forbid_skipping(outcome.get_result())


def forbid_skipping(report):
    if os.environ.get("SIDESHAKE_NOTHING_SKIPPED") and report.outcome == "skipped":
        report.outcome = "failed"
        report.longrepr = f"skipped, which is forbidden here: {report.longrepr}"
