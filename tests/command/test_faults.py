"""Whatever goes wrong in a command is one line, with a code that says whose fault it is."""

import errno
import os

import pytest
from django.db import DatabaseError

from sideshake.command import main
from sideshake.command.faults import EXIT_INPUT, EXIT_NOT_ENOUGH, EXIT_OURS, WHOLE_TRACE, told
from sideshake.core.errors import InputError, NotEnough

FAULTS = [
    (InputError("the hole is smaller than 0"), "the hole is smaller than 0", EXIT_INPUT),
    (NotEnough("too quiet"), "no answer: too quiet", EXIT_NOT_ENOUGH),
    (OSError(errno.ENOSPC, "No space left", "/a/b"), "/a/b: there is no room left", EXIT_INPUT),
    (OSError(errno.EROFS, "Read-only"), "the disk can only be read there", EXIT_INPUT),
    (IsADirectoryError(errno.EISDIR, "Is a directory", "x"), "x: it is a folder", EXIT_INPUT),
    (OSError(errno.EXDEV, "Invalid cross-device link"), "invalid cross-device link", EXIT_INPUT),
    (OSError("odd"), "odd", EXIT_INPUT),
    (DatabaseError("disk image is malformed"), "cannot be read or written (disk", EXIT_INPUT),
    (OverflowError(34, "Numerical result out of range"), "too large or too small", EXIT_INPUT),
    (RecursionError(), "too deeply nested", EXIT_INPUT),
]


@pytest.mark.parametrize(("fault", "said", "code"), FAULTS)
def test_each_fault_has_its_sentence_and_its_code(fault, said, code):
    words, ends_with = told(fault)
    assert said in words
    assert "\n" not in words
    assert ends_with == code


def test_a_fault_of_the_program_says_where_and_tells_all_if_asked(monkeypatch):
    try:
        {}["x"]
    except KeyError as error:
        fault = error
    words, code = told(fault)
    assert code == EXIT_OURS
    assert "KeyError" in words
    assert "test_a_fault_of_the_program_says_where" in words
    assert "Traceback" not in words
    monkeypatch.setenv(WHOLE_TRACE, "1")
    assert "Traceback" in told(fault)[0]


def test_the_command_line_lets_no_fault_through(monkeypatch, capsys):
    def breaks(_tokens):
        raise ZeroDivisionError

    monkeypatch.setattr(main, "app", breaks)
    with pytest.raises(SystemExit) as ended:
        main.main([])
    assert ended.value.code == EXIT_OURS
    assert capsys.readouterr().err.count("\n") == 1


def test_a_reader_that_goes_away_is_no_fault(tmp_path):
    pipe_in, pipe_out = os.pipe()
    os.close(pipe_in)
    import subprocess

    from workshop_process import RUN

    ended = subprocess.run(
        [*RUN, "calibre", "new", "--help"], stdout=pipe_out, stderr=subprocess.PIPE, check=False
    )
    os.close(pipe_out)
    assert b"Traceback" not in ended.stderr
