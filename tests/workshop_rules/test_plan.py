import pytest

from sideshake.fit.jewel import Part
from sideshake.fit.tooling import ToolingCaution, plan
from sideshake.movement.sheet_file import shipped_names, shipped_sheet
from sideshake.workshop_rules.findings import SeenFinding
from sideshake.workshop_rules.plan import bench_steps, whole_time
from sideshake.workshop_rules.suggest import suggestions

SHEETS = [None, *(shipped_sheet(name) for name in shipped_names())]
TARNBROOK, LINDQUELL = shipped_sheet("tarnbrook-31"), shipped_sheet("lindquell-25")


def chosen(*keys, sheet=None):
    return suggestions(None, tuple(SeenFinding(key=key) for key in keys), sheet)


def keys(steps):
    return [each.key for each in steps]


# The order of the training workshops' stages.
ORDER = [
    "as-found-reading", "open-case", "let-down", "movement-out", "as-found-checks", "take-apart",
    "clean", "inspect", "assemble", "base-timing", "dial-hands", "case-up", "final-control",
]  # fmt: skip


@pytest.mark.parametrize("sheet", SHEETS)
def test_an_overhaul_goes_in_the_order_of_the_trade(sheet):
    found = keys(bench_steps(sheet, chosen("oil-dried", sheet=sheet)))
    assert [each for each in found if each in ORDER] == ORDER


@pytest.mark.parametrize("sheet", SHEETS)
def test_the_mainspring_is_let_down_before_anything_comes_off(sheet):
    steps = bench_steps(sheet, chosen("oil-dried", sheet=sheet))
    found = keys(steps)
    let_down = found.index("let-down")
    off = [found.index(each) for each in found if each.endswith("-off")]
    assert all(let_down < each for each in (*off, found.index("movement-out")))
    assert "eye protection" in steps[let_down].caution


def test_layers_are_there_only_where_the_watch_has_them():
    chronograph = keys(bench_steps(TARNBROOK, chosen("oil-dried")))
    assert {"chronograph-off", "chronograph-on"} <= set(chronograph)
    assert not {"calendar-off", "automatic-off", "polymer"} & set(chronograph)
    calendar = keys(bench_steps(LINDQUELL, chosen("oil-dried")))
    assert {"calendar-off", "calendar-on", "automatic-off", "automatic-on", "polymer"} <= set(
        calendar
    )
    assert "chronograph-off" not in calendar


def test_the_base_is_timed_before_chronograph_and_calendar():
    found = keys(bench_steps(None, chosen("oil-dried")))
    assert found.index("base-timing") < found.index("chronograph-on") < found.index("dial-hands")
    assert found.index("calendar-on") < found.index("dial-hands")


def test_pressure_is_tested_only_when_agreed():
    option = chosen("crystal-damaged")
    assert "pressure-test" not in keys(bench_steps(None, option))
    agreed = bench_steps(None, option, pressure_test=True)
    assert keys(agreed)[-2:] == ["pressure-test", "final-control"]
    assert "shield" in agreed[-2].caution


def test_a_crystal_does_not_take_the_movement_apart():
    assert keys(bench_steps(TARNBROOK, chosen("crystal-damaged"))) == [
        "as-found-reading", "open-case", "option-crystal", "case-up", "final-control",
    ]  # fmt: skip


def test_the_case_stays_closed_where_nothing_needs_it_open():
    assert keys(bench_steps(TARNBROOK, chosen("magnetised"))) == [
        "as-found-reading", "option-demagnetise", "final-control",
    ]  # fmt: skip
    both = keys(bench_steps(TARNBROOK, chosen("magnetised", "crystal-damaged")))
    assert {"open-case", "case-up"} <= set(both)


@pytest.mark.parametrize(
    ("finding", "option", "layer"),
    [
        ("corrector-cracked", "corrector", "calendar"),
        ("date-stuck", "calendar", "calendar"),
        ("rotor-rubs", "rotor", "automatic"),
        ("winds-poorly", "automatic-work", "automatic"),
    ],
)
def test_the_layer_that_is_worked_on_comes_off_and_goes_on_again(finding, option, layer):
    found = keys(bench_steps(LINDQUELL, chosen(finding)))
    way = ["movement-out", f"{layer}-off", f"option-{option}", f"{layer}-on", "dial-hands"]
    assert [each for each in found if each in way] == way
    assert "take-apart" not in found
    others = {"calendar", "automatic", "chronograph"} - {layer}
    assert not {f"{each}-off" for each in others} & set(found)
    assert f"{layer}-off" not in keys(bench_steps(TARNBROOK, chosen(finding)))  # it has none
    assert f"{layer}-off" not in keys(bench_steps(LINDQUELL, chosen("hands-touch")))


def test_no_step_speaks_of_a_mechanism_that_the_watch_lacks():
    def said(sheet):
        steps = bench_steps(sheet, chosen("oil-dried"))
        return " ".join(f"{each.title} {each.how}" for each in steps).casefold()

    plain, both = said(shipped_sheet("wendelmoor-43")), said(None)
    for word in ("chronograph", "calendar", "date", "rotor", "automatic"):
        assert word not in plain
        assert word in both
    assert "the chronograph is not on yet" in said(TARNBROOK)
    assert "calendar" not in said(TARNBROOK)
    assert "exactly at the jump of the date" in said(LINDQUELL)
    assert "chronograph" not in said(LINDQUELL)


def test_hands_need_the_movement_out_but_not_apart():
    found = keys(bench_steps(TARNBROOK, chosen("hands-touch")))
    assert {"let-down", "movement-out", "option-hands", "dial-hands"} <= set(found)
    assert "take-apart" not in found


def test_nothing_chosen_is_nothing_to_do():
    assert bench_steps(TARNBROOK, ()) == ()


JEWEL = Part(outside_mm=1.50, hole_mm=0.92, thickness_mm=0.60)


def test_a_new_hole_goes_the_way_the_fit_has_reckoned():
    way = plan(JEWEL, (), centre="Centre on the unworn hole opposite.")
    option = [each for each in chosen("bearing-worn") if each.key == "train-bearing"]
    found = [
        each
        for each in bench_steps(None, tuple(option), fitted={"train-bearing": (way,)})
        if "option" in each.key
    ]
    assert [each.how for each in found] == list(way.steps)
    assert str(ToolingCaution.RUBY) in found[0].caution
    assert whole_time(tuple(found)) == option[0].time


def test_a_hole_that_is_not_reckoned_does_not_go_another_s_way():
    way = plan(JEWEL, (), centre="Centre on the unworn hole opposite.")
    found = bench_steps(None, chosen("bearing-worn"), fitted={"jewel-above": (way,)})
    assert "option-train-bearing" in keys(found)


def test_without_a_fit_it_is_to_be_reckoned_before_anything_is_cut():
    found = bench_steps(None, chosen("bearing-worn"))
    step = next(each for each in found if each.key == "option-train-bearing")
    assert "before anything is cut" in step.how
    assert str(ToolingCaution.EYES) in step.caution


@pytest.mark.parametrize("sheet", SHEETS)
def test_with_an_overhaul_the_plan_takes_the_time_of_its_options(sheet):
    options = chosen("oil-dried", "bearing-worn", "mainspring-set", "crystal-damaged", sheet=sheet)
    planned = whole_time(bench_steps(sheet, options))
    assert planned.least_min == sum(each.time.least_min for each in options)
    assert planned.most_min == sum(each.time.most_min for each in options)


@pytest.mark.parametrize("sheet", SHEETS)
def test_a_key_stands_for_one_step(sheet):
    findings = ("oil-dried", "bearing-worn", "mainspring-set", "hands-touch", "crystal-damaged")
    found = keys(bench_steps(sheet, chosen(*findings, sheet=sheet), pressure_test=True))
    assert len(set(found)) == len(found)
