"""Ctrl-C ends the program with one line and 130, at any moment from the first one of our own.

What Python does before it runs our code is outside our reach. Each case is a real process.
"""

import os
import signal
import subprocess
import sys
import time

import pytest

from sideshake.demo.workshop.making import born_deaf

ALONE = [sys.executable, "-m", "sideshake"]
STOPPED = "sideshake: stopped\n"

AT_CALL = """
import signal, sys
from sideshake.__main__ import main

left = int(sys.argv.pop(1))

def count(_frame, _event, _what):
    global left
    left -= 1
    if left == 0:
        sys.setprofile(None)
        signal.raise_signal(signal.SIGINT)

sys.setprofile(count)
main()
"""
"""Stops itself at the so many-th call or return of a function, the same place each time on any
machine; the second is the call of `main`."""


def run(*tokens):
    return subprocess.run(
        [str(each) for each in tokens], capture_output=True, text=True, check=False
    )


def ended(running):
    """Return the exit code and what was written to standard error; nothing is to be answered."""
    try:
        out, err = running.communicate(timeout=60)
    except subprocess.TimeoutExpired:
        running.kill()
        out, err = running.communicate()
    assert out == ""
    return running.returncode, err


@pytest.mark.parametrize(
    "call", [2, 5, 20, 300, 5_000, 50_000, 100_000, 150_000, 200_000, 250_000, 300_000]
)
def test_a_stop_at_any_call_is_one_line_and_130(sounds, call):
    """The first are in our first lines, the last in the loading of numpy and scipy and the ear."""
    done = run(sys.executable, "-c", AT_CALL, call, "hear", sounds / "old.wav")
    assert (done.returncode, done.stdout, done.stderr) == (130, "", STOPPED)


def test_without_a_stop_the_same_gives_a_reading(sounds):
    done = run(sys.executable, "-c", AT_CALL, 10**9, "hear", sounds / "old.wav")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("Gains")


@pytest.mark.parametrize("after_s", [0.05, 0.2, 0.4, 0.7, 1.0])
def test_a_stop_from_outside_is_one_line_and_130(sounds, after_s):
    """However fast the machine: it says when our code begins, and would hear for minutes."""
    running = subprocess.Popen(
        [sys.executable, "-c", f"print('ours', flush=True)\n{AT_CALL}", str(10**9), "hear",
         *[str(sounds / "old.wav")] * 200],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert running.stdout.readline() == "ours\n"
    time.sleep(after_s)
    running.send_signal(signal.SIGINT)
    assert ended(running) == (130, STOPPED)


def test_a_stop_while_nothing_comes_is_one_line_and_130(tmp_path):
    running = subprocess.Popen(
        [*ALONE, "hear", "-"], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
        stderr=subprocess.PIPE, text=True, env=os.environ | {"XDG_CONFIG_HOME": str(tmp_path)},
    )  # fmt: skip
    time.sleep(1.5)
    running.send_signal(signal.SIGINT)
    assert ended(running) == (130, STOPPED)


WITH_THREADS = """
import sys, threading, time
from sideshake.__main__ import main
import sideshake.command.main as command

def at_work():
    while True:
        sum(range(1000))

def busy():
    for _ in range(4):
        threading.Thread(target=at_work, daemon=True).start()
    print("busy", flush=True)
    {what}

command.main = busy
main()
"""


def stopped_when_busy(what):
    running = subprocess.Popen(
        [sys.executable, "-c", WITH_THREADS.format(what=what)],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert running.stdout.readline() == "busy\n"
    time.sleep(0.1)
    running.send_signal(signal.SIGINT)
    return ended(running)


def test_a_stop_with_threads_at_work_is_one_line_and_130():
    assert stopped_when_busy("time.sleep(60)") == (130, STOPPED)


def test_a_stop_in_compiled_code_is_heard_when_it_returns():
    what = "import numpy as np; a = np.ones((300, 300))\n    while True: a @ a"
    assert stopped_when_busy(what) == (130, STOPPED)


def test_a_stop_where_python_tidies_up_is_not_lost():
    what = "class Slow:\n        def __del__(self): time.sleep(1)\n"
    assert stopped_when_busy(f"{what}    Slow()\n    time.sleep(60)") == (130, STOPPED)


def test_a_stop_that_a_library_takes_for_a_fault_is_still_a_stop():
    what = "try: time.sleep(60)\n    except BaseException: raise ImportError('failed') from None"
    assert stopped_when_busy(what) == (130, STOPPED)


def test_a_fault_of_our_own_is_no_stop():
    """The counter-case: without Ctrl-C a fault keeps its traceback, so that it can be mended."""
    done = run(sys.executable, "-c", WITH_THREADS.format(what="raise ImportError('failed')"))
    assert done.returncode == 1
    assert "Traceback" in done.stderr
    assert "stopped" not in done.stderr


@pytest.mark.parametrize(
    ("tokens", "code", "said"),
    [(["hear", "--help"], 0, ""), (["hear", "no-such.wav"], 2, "sideshake: no-such.wav: cannot")],
)
def test_it_runs_as_a_module(tokens, code, said):
    done = run(*ALONE, *tokens)
    assert done.returncode == code
    assert done.stderr.startswith(said)


DEAF = "import signal; print(signal.SIGINT in signal.pthread_sigmask(signal.SIG_BLOCK, []))"


def test_processes_of_the_demo_never_hear_ctrl_c():
    with born_deaf():
        assert run(sys.executable, "-c", DEAF).stdout == "True\n"
    assert run(sys.executable, "-c", DEAF).stdout == "False\n"
