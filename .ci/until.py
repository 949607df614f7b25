"""A pytest plugin: no test begins after the time `QUICK_UNTIL`; how many were left is told."""

import os
import time

import pytest

UNTIL = float(os.environ["QUICK_UNTIL"])
LEFT: list[str] = []


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_protocol(item):
    """Let a test alone when the time is over."""
    if time.time() < UNTIL:
        return None
    LEFT.append(item.nodeid)
    return True


def pytest_sessionfinish(session):
    """Tell the process that started this one what was left."""
    if hasattr(session.config, "workeroutput"):
        session.config.workeroutput["left"] = LEFT


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node):
    """Take in what was left by a process that ends."""
    LEFT.extend(getattr(node, "workeroutput", {}).get("left", []))


def pytest_terminal_summary(terminalreporter):
    """Tell how many tests had no time."""
    if LEFT:
        terminalreporter.write_line(f"{len(LEFT)} tests had no time; `make test` runs them all")
