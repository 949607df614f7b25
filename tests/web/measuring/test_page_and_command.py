"""The pages and the command line say the same of the same sizes: both ask `analysis`."""

import html
import json
import re
import tomllib
from datetime import date
from importlib.resources import files

import pytest

from sideshake.command.barrel import barrel
from sideshake.command.jewel import jewel
from sideshake.core.quantities import Measured
from sideshake.movement.written import laid_over
from sideshake.web.base.saving import save
from sideshake.web.measuring.services import judged, store
from sideshake.web.models import Batch, Item, Kind
from sideshake.web.visits.queries import whole_visit

KNOWN_CLICK = {"directions": {"click_deg": "300 ± 8"}}
"""With the click's place all directions of the shipped example are known."""


def tree(more=None):
    """The shipped example, each length with the ± that a page takes where none is written."""
    text = (files("sideshake.wear") / "examples" / "leaning-barrel.toml").read_text()
    found = laid_over(tomllib.loads(text), {})
    found.pop("u_mm", None)
    for table, lines in (more or {}).items():
        found[table].update(lines)
    return found


def typed(found):
    lines = {"amplitude_deg": str(found["amplitude_deg"])}
    for table, rows in found.items():
        if isinstance(rows, dict):
            lines |= {f"{table}.{key}": str(value) for key, value in rows.items()}
    return lines


def written(found):
    text = [f"{key} = {json.dumps(each)}" for key, each in found.items() if type(each) is not dict]
    for table, rows in found.items():
        if isinstance(rows, dict):
            lines = [f"{key} = {json.dumps(value)}" for key, value in rows.items()]
            text += [f"[{table}]", *lines]
    return "\n".join(text)


@pytest.fixture(params=[{}, KNOWN_CLICK], ids=["click open", "all known"])
def both(request, client, visit, colleague, tmp_path, capsys):
    """The same sizes on a visit's page and in a file for the command line."""
    found = tree(request.param)
    store(visit, typed(found), colleague, seen={})
    mine = tmp_path / "mine.toml"
    mine.write_text(written(found), encoding="utf-8")
    return visit, str(mine)


def asked(capsys, command, *args, **options):
    command(*args, as_json=True, **options)
    return json.loads(capsys.readouterr().out)


def page_of(client, address):
    """A page as one reads it."""
    text = re.sub(r"<[^>]+>", " ", client.get(address).content.decode())
    return " ".join(html.unescape(text).split())


def figure(told):
    return Measured(told["value"], told["u"]).text()


def test_page_and_command_give_the_same_figures(both, client, capsys):
    visit, mine = both
    told = asked(capsys, barrel, measured=mine)
    known = judged(whole_visit(visit.number)).barrel
    assert known.verdict.action == told["action"]
    assert known.verdict.free.sampled == told["free"]["sampled"]
    page = page_of(client, f"/visits/{visit.number}/measure/")
    elsewhere = ("First order says",)  # the page says "To be surer" in its place
    said = [each for each in told["sentences"] if not any(part in each for part in elsewhere)]
    assert len(said) > 6
    assert [each for each in said if " ".join(each.split()) not in page] == []
    for pose in told["stances"]:
        row = (figure(pose["lean"]["angle_deg"]), figure(pose["lean"]["rim_move_mm"]))
        assert " ".join((pose["name"].capitalize(), *row)) in page
        for gap in pose["gaps"]:
            part = gap["gap"]["name"].capitalize()
            assert f"{part} {pose['name']} {figure(gap['left_mm'])}" in page
    assert f"pulls at the teeth with {figure(told['side_pull_n'])} N." in page
    notes = [each for each in told["notes"] if each.startswith(("From memory", "Normal plays"))]
    assert len(notes) == 3
    assert [each for each in notes if each not in page] == []


def test_the_loads_move_is_told_where_they_are_known_and_only_there(both, client, capsys):
    visit, mine = both
    told = asked(capsys, barrel, measured=mine)
    page = page_of(client, f"/visits/{visit.number}/measure/")
    moves = told["pivot_moves_mm"]
    assert ("Under way the loads move the pivot above by" in page) is bool(moves)
    assert ("The loads under way move it" in page) is (told["mesh"]["under_pull"] is not None)
    for place, moved in moves.items():
        assert f"the pivot {place} by {figure(moved)} mm" in page


def test_page_and_command_fit_the_same_jewel(both, client, capsys):
    visit, mine = both
    (told,) = asked(capsys, jewel, measured=[mine])["repairs"]
    page = page_of(client, f"/visits/{visit.number}/jewel/above/")
    for name in ("play", "interference"):
        middle = Measured(told[name]["middle_mm"], told[name]["u_mm"]).text()
        assert f"{name.capitalize()} {middle}" in page
    assert [step for step in told["steps"] if " ".join(step.split()) not in page] == []
    assert "standard sizes, 0.01 mm under, a reamer's overcut" in page


REAMERS_MM = [0.89, 0.99, 1.09, 1.19, 1.29, 1.39, 1.49]
"""Of the shipped demo-workshop, those that the hole above may need."""


@pytest.mark.parametrize(
    "sizes", [REAMERS_MM, REAMERS_MM[:2], []], ids=["all", "too small", "none"]
)
def test_the_part_is_reamed_with_what_is_in_the_drawer_where_that_serves(
    client, visit, colleague, capsys, sizes
):
    store(visit, typed(tree()), colleague, seen={})
    for size in sizes:
        item = Item(kind=Kind.REAMER, name=f"reamer {size}", outside_mm=size)
        save(item, colleague)
        save(Batch(item=item, received_on=date(2026, 1, 5), quantity=1), colleague)
    page = page_of(client, f"/visits/{visit.number}/jewel/above/")
    assert ("(no reamers listed)" in page) is (sizes != REAMERS_MM)
    (told,) = asked(capsys, jewel, measured=["leaning-barrel"], workshop="demo-workshop")["repairs"]
    (ream,) = [step for step in told["steps"] if "1.49" in step]
    assert (" ".join(ream.split()) in page) is (sizes == REAMERS_MM)


def test_the_visit_page_tells_what_wore_the_hole_and_the_mesh(both, client):
    visit, _mine = both
    page = page_of(client, f"/visits/{visit.number}/")
    assert "Hole above: The" in page
    assert "At the teeth the play lets the barrel move by" in page


def test_of_a_barrel_that_was_not_measured_nothing_of_it_is_said(client, visit):
    for address in (f"/visits/{visit.number}/", f"/visits/{visit.number}/measure/"):
        page = page_of(client, address)
        for absent in ("How it stands", "Hole above:", "At the teeth", "pulls at the teeth"):
            assert absent not in page, absent


def test_with_one_hole_measured_the_mesh_is_left_out_and_the_lean_is_open(client, visit, colleague):
    store(visit, {"above.hole_mm": "0.93 ± 0.008"}, colleague, seen={})
    page = page_of(client, f"/visits/{visit.number}/measure/")
    assert "The largest lean may be" in page
    assert "At the teeth the play" not in page
    assert "Hole above:" not in page


def test_without_a_spring_on_the_sheet_no_pull_is_told(client, visit, colleague, monkeypatch):
    from sideshake.analysis import barrel as analysed
    from sideshake.web.measuring import services

    store(visit, typed(tree()), colleague, seen={})
    sheet = services.sheet_named(visit.watch.calibre)
    bare = sheet.model_copy(update={"mainspring": None})
    assert analysed.pull_of(sheet) is not None
    assert analysed.pull_of(bare) is None
    monkeypatch.setattr(services, "sheet_named", lambda _name: bare)
    page = page_of(client, f"/visits/{visit.number}/measure/")
    assert "The largest lean is" in page
    assert "pulls at the teeth" not in page
