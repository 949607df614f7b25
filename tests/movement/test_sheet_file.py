"""Reading calibre sheets: good lines become values, bad ones are named by key and meaning."""

import pytest

from sideshake.core.errors import InputError, Lacking
from sideshake.core.quantities import Measured
from sideshake.movement.sheet import meaning
from sideshake.movement.sheet_file import sheet_at, sheet_from_text, shipped_names, shipped_sheet


def test_a_name_alone_is_a_sheet():
    assert sheet_from_text('name = "Blank"').barrel is None


def test_a_measured_line_keeps_its_uncertainty():
    sheet = sheet_from_text('name = "A"\n[barrel]\nabove = { hole_mm = "0.92+-0.010" }')
    assert sheet.measured("barrel.above.hole_mm", "the lean") == Measured(0.92, 0.005)


@pytest.mark.parametrize(
    ("line", "key", "u"),
    [
        # half of the last digit as a limit, over root 3 (GUM F.2.2.1); idle zeros count
        ("[barrel]\nspan_mm = 2.7", "barrel.span_mm", 0.02887),
        ("[barrel]\nspan_mm = 2.700", "barrel.span_mm", 0.0002887),
        ("[mainspring]\nlength_mm = 306", "mainspring.length_mm", 0.2887),
        ('[barrel]\nspan_mm = { value = 2.70, source = "a drawing" }', "barrel.span_mm", 0.002887),
        ("[mainspring]\nelastic_gpa = 205", "mainspring.elastic_gpa", 5.0),
        ("[balance]\nquality_factor = 200", "balance.quality_factor", 40.0),
        ("[calendar]\ndrive_turn_h = 24", "calendar.drive_turn_h", 0.0),
    ],
)
def test_a_plain_number_has_the_doubt_of_its_kind(line, key, u):
    sheet = sheet_from_text(f'name = "A"\n{line}')
    assert sheet.measured(key, "the lean").u == pytest.approx(u, rel=1e-3)


def test_a_sheet_can_say_how_well_its_lengths_are_known():
    sheet = sheet_from_text('name = "A"\nu_mm = 0.004\n[barrel]\nspan_mm = 2.7\nteeth = 80')
    assert sheet.measured("barrel.span_mm", "the lean") == Measured(2.7, 0.004)
    assert sheet.whole("barrel.teeth", "the mesh") == 80


@pytest.mark.parametrize("written", ["0.004", ".004", "4e-3"])
def test_a_sheet_may_say_it_in_quotes_as_the_pages_write_it(written):
    sheet = sheet_from_text(f'name = "A"\nu_mm = "{written}"\n[barrel]\nspan_mm = 2.7')
    assert sheet.u_mm == 0.004
    assert sheet.measured("barrel.span_mm", "the lean") == Measured(2.7, 0.004)


def test_what_carries_its_own_doubt_keeps_it():
    sheet = sheet_from_text('name = "A"\nu_mm = 0.004\n[barrel]\nspan_mm = "2.7 ± 0.02 mm"')
    assert sheet.measured("barrel.span_mm", "the lean") == Measured(2.7, 0.01)


def test_several_readings_may_stand_in_a_line():
    sheet = sheet_from_text('name = "A"\n[barrel]\nspan_mm = [2.71, 2.69, 2.70]')
    found = sheet.measured("barrel.span_mm", "the lean")
    # s 0.01, of the mean 0.00577, half of Student's 4.53; and the last digit, 0.00289
    assert found.value == pytest.approx(2.70)
    assert found.u == pytest.approx((0.013077**2 + 0.00289**2) ** 0.5, rel=1e-3)


def test_a_sourced_line_is_a_plain_value_and_a_source():
    sheet = sheet_from_text(
        'name = "A"\n[mainspring]\n'
        'elastic_gpa = { value = "205+-10", source = "handbook", from_memory = true }'
    )
    assert sheet.measured("mainspring.elastic_gpa", "the torque").value == 205
    assert sheet.source("mainspring.elastic_gpa").from_memory
    assert sheet.source("mainspring.elastic_gpa").text == "handbook"


def test_a_source_in_a_list_has_its_place_in_the_key():
    sheet = sheet_from_text(
        'name = "A"\n[train]\narbors = [{ name = "barrel" }, { name = "centre", '
        "pinion_module_mm = { value = 0.14, from_memory = true } }]"
    )
    key = "train.arbors.1.pinion_module_mm"
    assert sheet.measured(key, "a test").value == 0.14
    assert sheet.from_memory("train") == (key,)
    assert sheet.from_memory("train.arbors.0", "tra") == ()
    assert meaning(key) == "module of the pinion's mesh"
    with pytest.raises(Lacking):
        sheet.needed("train.arbors.2.name", "a test")


def test_a_line_without_source_says_nothing():
    assert sheet_from_text('name = "A"').source("beats_per_hour").text == ""


@pytest.mark.parametrize("key", ["barrel.span_mm", "barrel.above.hole_mm", "lift_angle_deg"])
def test_a_missing_line_is_named_with_its_meaning_and_its_use(key):
    with pytest.raises(InputError) as error:
        sheet_from_text('name = "A"').measured(key, "the barrel's lean")
    for part in (key, meaning(key), "the barrel's lean"):
        assert part in str(error.value)


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("", ["name", "must be there"]),
        ('name = "A"\nname = "B"', ["not valid TOML"]),
        ('name = "A"\nbeat = 3', ["beat", "no such line", "beats_per_hour"]),
        ('name = "A"\n[barrel]\nteth = 3', ["barrel.teth", "did you mean teeth"]),
        ('name = "A"\n[barrel]\nteeth = 80.5', ["barrel.teeth", "teeth of the barrel", "80.5"]),
        ('name = "A"\n[barrel]\nteeth = 0', ["barrel.teeth", "greater than or equal to 1"]),
        ('name = "A"\n[barrel]\nspan_mm = 0', ["barrel.span_mm", "above 0"]),
        ('name = "A"\n[barrel]\nspan_mm = "wide"', ["barrel.span_mm", "wide", "0.52 ± 0.01"]),
        ('name = "A"\n[barrel]\ngap_plate_mm = -0.1', ["gap_plate_mm", "cannot be negative"]),
        ('name = "A"\n[nominal]\nviscous_share = 1.5', ["viscous_share", "between 0 and 1"]),
        ('name = "A"\n[calendar]\njump = "25:00"', ["calendar.jump", "21:30", "25:00"]),
        (
            'name = "A"\n[barrel]\nabove = { pivot_mm = 0.95, hole_mm = 0.92 }',
            ["barrel.above", "pivot_mm 0.95", "hole_mm 0.92"],
        ),
        ('name = "A"\n[barrel]\nbore_mm = 3.0\ncore_mm = 3.2', ["core_mm 3.2", "bore_mm 3"]),
        (
            'name = "A"\n[barrel]\nbore_mm = 12.0\nrim_radius_mm = "5.75+-0.02"',
            ["bore_mm 12", "twice rim_radius_mm, 11.50"],
        ),
        (
            'name = "A"\n[barrel]\nlid_to_floor_mm = 3.8\nspan_mm = 2.7',
            ["lid_to_floor_mm 3.8", "span_mm 2.7"],
        ),
        ('name = "A"\n[barrel]\nspan_mm = true', ["barrel.span_mm", "True"]),
    ],
)
def test_a_fault_is_named(text, parts):
    with pytest.raises(InputError) as error:
        sheet_from_text(text)
    for part in parts:
        assert part in str(error.value)


def test_ten_invented_calibres_are_shipped():
    assert shipped_names() == [
        "aldermoor-45",
        "brisenthal-28",
        "corvanne-17",
        "lindquell-25",
        "marrowick-30",
        "quenholt-29",
        "tarnbrook-31",
        "tolvane-26",
        "vennick-41",
        "wendelmoor-43",
    ]
    assert all(shipped_sheet(name).invented for name in shipped_names())


@pytest.mark.parametrize("name", shipped_names())
def test_every_source_of_a_shipped_sheet_belongs_to_a_line(name):
    sheet = shipped_sheet(name)
    assert all(sheet.needed(each.key, "a source") is not None for each in sheet.sources)


def test_a_sheet_is_found_by_name_or_file(tmp_path):
    own = tmp_path / "own.toml"
    own.write_text('name = "Own"', encoding="utf-8")
    assert sheet_at(str(own)).name == "Own"
    assert sheet_at("tarnbrook-31").name == "Tarnbrook 31"


def test_a_sheet_that_is_nowhere_is_refused(tmp_path):
    with pytest.raises(InputError, match="no file"):
        sheet_at(str(tmp_path / "none.toml"))
    with pytest.raises(InputError, match="tarnbrook-31"):
        sheet_at("nothing")
    latin = tmp_path / "latin.toml"
    latin.write_bytes(b'name = "B\xe4"')
    with pytest.raises(InputError, match="UTF-8"):
        sheet_at(str(latin))
