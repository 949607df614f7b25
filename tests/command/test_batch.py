import json

import pytest

from sideshake.command.batch import batch
from sideshake.core.errors import InputError

HEAD = "pivot_mm,play_low_mm,play_high_mm,old_hole_mm,plate_thickness_mm,room_mm\n"


def repairs(tmp_path, *rows):
    path = tmp_path / "repairs.csv"
    path.write_text(HEAD + "\n".join(rows) + "\n")
    return path


def test_the_curve_is_told_and_drawn(capsys, tmp_path):
    rows = [f"{0.85 + step / 100:.3f}+-0.002,0.017,0.033,1.0,0.5,2.6" for step in range(8)]
    batch(repairs(tmp_path, *rows), as_json=True, pictures=tmp_path)
    curve = json.loads(capsys.readouterr().out)["curve"]
    assert curve[-1]["served"] == 8
    assert [each["cost"] for each in curve] == sorted(each["cost"] for each in curve)
    assert "<svg" in (tmp_path / "jewel-batch.svg").read_text(encoding="utf-8")


def test_the_sentence_names_the_knee(capsys, tmp_path):
    batch(repairs(tmp_path, "0.9,0.02,0.04,1.0,0.5,", "0.905,0.02,0.04,1.0,0.5,"), per_size=50.0)
    assert capsys.readouterr().out.startswith("1 size serves 2 of 2 repairs (100 %) for 110;")


@pytest.mark.parametrize(
    ("row", "named"),
    [
        ("0.9,0.02,0.04,0.8,0.5,", r"row 2.*0\.8 mm.*0\.9 mm"),
        ("0.9,0.02,,1.0,0.5,", "row 2 has no play_high_mm"),
        ("0.9,0.02,x,1.0,0.5,", "row 2, play_high_mm"),
    ],
)
def test_a_faulty_row_is_named(tmp_path, row, named):
    with pytest.raises(InputError, match=named):
        batch(repairs(tmp_path, row))


def test_a_missing_list_is_named(tmp_path):
    with pytest.raises(InputError, match="nowhere"):
        batch(tmp_path / "nowhere.csv")


def test_a_list_without_repairs_is_refused(tmp_path):
    with pytest.raises(InputError, match="no repair"):
        batch(repairs(tmp_path))


def test_what_is_no_table_is_refused(tmp_path):
    path = tmp_path / "sound.wav"
    path.write_bytes(b"RIFF\x00\x00\xff\xfe")
    with pytest.raises(InputError, match=r"sound\.wav"):
        batch(path)


def test_repairs_that_no_size_serves_are_counted(capsys, tmp_path):
    batch(repairs(tmp_path, "0.9,0.02,0.04,1.0,0.5,", "0.9,0.02,0.04,1.0,0.5,1.1"))
    said = " ".join(capsys.readouterr().out.split())
    assert "serves 1 of 2 repairs" in said
    assert "1 repair is served by no size" in said


def test_where_the_curve_was_drawn_is_said(capsys, tmp_path):
    batch(repairs(tmp_path, "0.9,0.02,0.04,1.0,0.5,"), pictures=tmp_path)
    assert "jewel-batch.svg" in "".join(capsys.readouterr().out.split())
