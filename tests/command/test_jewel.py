import io
import json

import ezdxf
import pytest

from sideshake.command.jewel import jewel
from sideshake.core.errors import InputError, NotEnough


def told(capsys, **options):
    jewel(**options)
    return capsys.readouterr().out


def figures(capsys, **options):
    return json.loads(told(capsys, as_json=True, **options))["repairs"]


def test_the_example_gets_a_jewel_made_to_order(capsys):
    said = " ".join(told(capsys, measured=["leaning-barrel"], workshop="demo-workshop").split())
    assert "fit a ruby jewel 0.920 × 1.500 × 0.600 mm" in said
    assert "It holds against a push of at least 3.8 N, of 300 N at most." in said
    assert "loose" not in said
    assert "eye protection" in said
    assert "unworn hole" in said


def test_the_reamers_come_from_the_workshop_s_list(capsys):
    (only,) = figures(capsys, measured=["leaning-barrel"], workshop="demo-workshop")
    assert only["reamers_mm"] == [1.09, 1.19, 1.29, 1.39, 1.49]
    (without,) = figures(capsys, measured=["leaning-barrel"])
    assert without["reamers_mm"] == []


def test_a_bush_is_ordered_under_size(capsys):
    (only,) = figures(capsys, measured=["leaning-barrel"], metal="phosphor bronze")
    assert only["as_ordered"]["hole_mm"] < only["part"]["hole_mm"]


def test_a_place_can_be_named(capsys):
    (only,) = figures(capsys, measured=["leaning-barrel"], place="below")
    assert only["place"] == "below"


def test_no_part_is_chosen_where_nobody_measured_the_hole_and_it_is_said_so(tmp_path):
    mine = tmp_path / "mine.toml"
    mine.write_text('calibre = "tarnbrook-31"\n' + SOUND)
    with pytest.raises(NotEnough, match="nobody measured the hole below") as caught:
        jewel(measured=[str(mine)])
    assert "no new hole is needed" not in str(caught.value)


def test_the_press_depth_follows_old_depth_and_endshake(capsys, tmp_path):
    mine = tmp_path / "mine.toml"
    mine.write_text(
        'calibre = "tarnbrook-31"\n[above]\nhole_mm = 1.05\npivot_mm = 0.9\ndepth_mm = 0.01\n'
        "edge_mm = 1.6\n[barrel]\nendshake_mm = 0.03\nendshake_wanted_mm = 0.035\n"
        "[below]\nhole_mm = 0.925\npivot_mm = 0.9\n"
    )
    (only,) = figures(capsys, measured=[str(mine)])
    assert only["press_depth_mm"]["value"] == pytest.approx(0.015)
    assert only["wall_left_mm"] == pytest.approx(1.6 - 0.75)


SOUND = "[above]\nhole_mm = 0.925\npivot_mm = 0.9\n"


def test_several_repairs_share_one_order(capsys, tmp_path):
    other = tmp_path / "other.toml"
    other.write_text(
        'calibre = "tarnbrook-31"\nwatch = "visit 9"\n[below]\nhole_mm = 1.05\n' + SOUND
    )
    told(
        capsys,
        measured=["leaning-barrel", str(other)],
        workshop="demo-workshop",
        order="D-07",
        quantity=2,
        pictures=tmp_path,
    )
    for sheet, reference in ((1, "expedition chronograph, demo visit 3"), (2, "visit 9")):
        svg = (tmp_path / f"jewel-order-{sheet}.svg").read_text(encoding="utf-8")
        assert f"D-07 / {sheet}" in svg
        assert reference in svg
    dxf = ezdxf.read(io.StringIO((tmp_path / "jewel-order-1.dxf").read_text(encoding="utf-8")))
    assert not dxf.audit().has_errors


def words_in(path):
    from pypdf import PdfReader

    return " ".join(" ".join(page.extract_text() for page in PdfReader(path).pages).split())


def test_the_order_is_one_paper_with_all_its_maker_asks(capsys, tmp_path):
    asked = {
        "to": "Atelier Rubellin",
        "date": "2026-03-03",
        "wanted": "2026-03-24",
        "order": "D-07",
    }
    common = {"measured": ["leaning-barrel"], "workshop": "demo-workshop", "pictures": tmp_path}
    told(capsys, **common, **asked)
    said = words_in(tmp_path / "jewel-order.pdf")
    for each in ("Jewel order D-07: to Atelier Rubellin", "Wanted by 2026-03-24", "Edda Quillfoot",
                 "+44 1632 960123", "Quay 3", "Jewel for the barrel arbor, in the bridge",
                 "0.920 × 1.500 × 0.600", "Ordered on 2026-03-03"):  # fmt: skip
        assert each in said, each
    first = (tmp_path / "jewel-order.pdf").read_bytes()
    told(capsys, **common, **asked)
    assert (tmp_path / "jewel-order.pdf").read_bytes() == first
    assert "draft" not in said
    told(capsys, **common)
    said = words_in(tmp_path / "jewel-order.pdf")
    assert "DRAFT, nothing is ordered" in said
    assert "Wanted by" not in said


def test_a_sound_hole_gets_no_jewel_unasked(tmp_path):
    sound = tmp_path / "sound.toml"
    sound.write_text(
        'calibre = "tarnbrook-31"\n'
        + "".join(
            f"[{place}]\nhole_mm = {hole}\npivot_mm = {pivot}\n"
            for place, hole, pivot in (
                ("above", 0.925, 0.9),
                ("below", 0.925, 0.9),
                ("lid", 1.215, 1.2),
                ("floor", 1.215, 1.2),
            )
        )
    )
    with pytest.raises(NotEnough, match="no new hole is needed"):
        jewel(measured=[str(sound)])


@pytest.mark.parametrize(
    ("options", "named"),
    [
        ({}, "--measured"),
        ({"measured": ["leaning-barrel"], "metal": "cheese"}, "cheese"),
        ({"measured": ["leaning-barrel"], "workshop": "no-such"}, "demo-workshop"),
    ],
)
def test_wrong_options_are_named(options, named):
    with pytest.raises(InputError, match=named):
        jewel(**options)


def test_a_list_without_the_last_reamer_names_the_nearest(tmp_path):
    poor = tmp_path / "poor.toml"
    poor.write_text("reamers_mm = [1.09, 1.39]\n")
    with pytest.raises(NotEnough, match=r"1\.490 mm.*1\.39 mm"):
        jewel(measured=["leaning-barrel"], workshop=str(poor))


def test_the_quantity_is_at_least_one(tmp_path):
    with pytest.raises(InputError, match="quantity"):
        jewel(measured=["leaning-barrel"], quantity=0, pictures=tmp_path)


def test_verdict_and_fit_ask_for_the_same_metal():
    # two rooms on one floor that do not know each other; the figures must not drift apart
    from sideshake.fit import jewel as fit
    from sideshake.wear import verdict as wear

    assert fit.LEAST_RING_MM["ruby"] == wear.LEAST_JEWEL_RING_MM
    assert wear.LEAST_BUSH_RING_MM == fit.LEAST_METAL_RING_MM
    assert wear.CUT_BEYOND_MM == fit.CUT_BEYOND_MM


def test_metal_only_is_ordered_as_a_bush_under_size(capsys, tmp_path):
    mine = tmp_path / "mine.toml"
    mine.write_text(
        'calibre = "tarnbrook-31"\nmetal_only = true\n[above]\nhole_mm = 1.05\npivot_mm = 0.9\n'
        "[below]\nhole_mm = 0.925\npivot_mm = 0.9\n"
    )
    (only,) = figures(capsys, measured=[str(mine)], pictures=tmp_path)
    assert only["part"]["material"]["name"] == "phosphor bronze"
    ordered, finished = only["as_ordered"]["hole_mm"], only["part"]["hole_mm"]
    # 0.03 less its closing under the finished size
    assert ordered == pytest.approx(finished - 0.03 + only["press"]["bore_closing_mm"], abs=0.0051)
    drawn = (tmp_path / "jewel-order-1.svg").read_text(encoding="utf-8")
    assert f"Ø {ordered:.3f}" in drawn
    assert f"Ø {finished:.3f}" not in drawn
