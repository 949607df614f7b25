"""A few hundred spoilt inputs over the commands: a sentence and a code, never a fault of ours.

`make bench` (benchmarks/spoilt.py) tries five thousand.
"""

import pytest
from mutated_inputs import spoilt

from sideshake.command.faults import EXIT_OURS
from sideshake.command.main import main

EACH, TESTS = 25, 10
FAULTS = (301, 857, 2846, 4654)
"""Seeds that were faults once: a spring of 1e-308 mm, a fit whose scatter squared is nothing."""


@pytest.mark.parametrize("part", range(TESTS))
def test_no_spoilt_input_is_a_fault_of_the_program(part, tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    seeds = range(part * EACH, (part + 1) * EACH)
    for seed in (*seeds, *(FAULTS if part == 0 else ())):
        wanted = spoilt(seed)
        for name, data in wanted.files:
            (tmp_path / name).write_bytes(data)
        code = code_of(wanted.tokens)
        said = capsys.readouterr()
        assert code != EXIT_OURS, (seed, wanted.tokens, said.err)
        assert "Traceback" not in said.err + said.out, (seed, wanted.tokens)


def code_of(tokens):
    """Return the code that a command ends with."""
    try:
        main(tokens)
    except SystemExit as ended:
        return ended.code
    return 0
