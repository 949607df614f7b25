"""`sideshake carecard`."""

import json

import pytest

from sideshake.command.main import main


def test_the_card_is_written_and_said(tmp_path, capsys):
    to = tmp_path / "card.pdf"
    with pytest.raises(SystemExit) as ended:
        main(
            ["carecard", "lindquell-25", "--watch", "Steel", "--workshop", "Ours", "--to", str(to)]
        )
    assert ended.value.code == 0
    assert to.read_bytes().startswith(b"%PDF-1.7")
    assert "between 19:44 and 2:23" in " ".join(capsys.readouterr().out.split())


def test_figures_for_other_programs(tmp_path, capsys):
    to = tmp_path / "card.pdf"
    words = ["carecard", "tarnbrook-31", "--watch", "Old", "--workshop", "Ours", "--to", str(to)]
    with pytest.raises(SystemExit):
        main([*words, "--json"])
    assert json.loads(capsys.readouterr().out)["schema"] == "sideshake.care-card"


def test_a_place_that_cannot_be_written_is_one_line(tmp_path, capsys):
    to = tmp_path / "nowhere" / "card.pdf"
    words = ["carecard", "tarnbrook-31", "--watch", "Old", "--workshop", "Ours", "--to", str(to)]
    with pytest.raises(SystemExit) as ended:
        main(words)
    assert ended.value.code == 2
    assert "cannot write" in capsys.readouterr().err
