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
    assert "between half past seven in the evening and half past two in the morning" in " ".join(
        capsys.readouterr().out.split()
    )


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


def card_with(date_moves, to, capsys):
    words = ["carecard", "lindquell-25", "--watch", "Steel", "--workshop", "Ours"]
    with pytest.raises(SystemExit) as ended:
        main([*words, "--to", str(to), "--date-moves", date_moves])
    said = capsys.readouterr()
    return ended.value.code, " ".join((said.out + said.err).split())


def test_hours_observed_on_the_watch(tmp_path, capsys):
    code, said = card_with("22:10-00:20", tmp_path / "card.pdf", capsys)
    assert code == 0
    assert "between half past seven in the evening and half past two in the morning" in said
    assert "the date moves from 22:10 to 0:20" in said
    assert "The calibre sheet forbids more: from 19:44 to 2:23." in said


@pytest.mark.parametrize("wrong", ["22:10", "22:10-25:00", "late-later", "00:20-22:10", "1-2-3"])
def test_times_that_cannot_be_are_one_line(tmp_path, capsys, wrong):
    code, said = card_with(wrong, tmp_path / "card.pdf", capsys)
    assert code == 2
    assert said.startswith("sideshake: ")
    assert not (tmp_path / "card.pdf").exists()
