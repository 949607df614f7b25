"""The measuring desk: any bearing, its instrument, what is asked, what is noted."""

import html
import json

import pytest

from sideshake.command.bearing import bearing
from sideshake.command.measured import toml_at
from sideshake.core.repeats import pooled
from sideshake.movement.lines import text_of
from sideshake.movement.sheet_file import shipped_sheet
from sideshake.wear.instruments import MICROMETER, InstrumentKnown
from sideshake.wear.place_judged import movement_judged
from sideshake.wear.place_sizes import PlaceLines
from sideshake.wear.place_words import place_sentence
from sideshake.web.bench_plan.services import wanted_steps
from sideshake.web.documents.report import told_of
from sideshake.web.measuring.places import (
    instruments_known,
    now_known,
    places_seen,
    with_instrument,
)
from sideshake.web.measuring.services import judged, sizes_seen
from sideshake.web.models import (
    Change,
    Finding,
    Measurement,
    Option,
    Photograph,
    Proposal,
    Watch,
)

THIRD = "bearing.third.above"
WORN = {
    f"{THIRD}.hole_mm": "0,250 ± 0,006",
    f"{THIRD}.pivot_mm": "0,198 ± 0,004",
}


def at(visit, place=""):
    return f"/visits/{visit.number}/desk/{place}{'/' if place else ''}"


def shown(client, address):
    return " ".join(html.unescape(client.get(address).content.decode()).split())


def test_a_worn_bearing_is_judged_on_its_page_and_in_the_whole_movement(client, visit):
    assert "Nothing is measured yet" in shown(client, at(visit))
    assert client.post(at(visit, "third.above"), WORN).status_code == 302
    page = shown(client, at(visit, "third.above"))
    assert "Third wheel, above: worn. Play 0.052 ± 0.007 mm" in page
    whole = shown(client, at(visit))
    assert "Nothing is measured yet" not in whole
    assert 'aria-label="third wheel, above: worn"' in whole
    assert 'aria-label="third wheel, below: not measured"' in whole
    assert "New bearing for a wheel of the train, 45 to 90 min, about €90.00" in whole


def test_the_page_says_what_the_floor_below_says(client, visit):
    client.post(at(visit, "third.above"), WORN)
    lines = {key.rpartition(".")[2]: text.replace(",", ".") for key, text in WORN.items()}
    found = movement_judged(shipped_sheet("tarnbrook-31"), {"third.above": PlaceLines(**lines)})
    assert place_sentence(found.at("third.above")) in shown(client, at(visit, "third.above"))


def test_who_sees_no_prices_sees_the_time_alone(apprentice_client, client, visit):
    client.post(at(visit, "third.above"), WORN)
    page = shown(apprentice_client, at(visit))
    assert "45 to 90 min" in page
    assert "€" not in page


def test_other_bearings_leave_the_barrels_verdict_alone(client, visit, shipped_sizes):
    client.post(f"/visits/{visit.number}/measure/", shipped_sizes)
    before = judged(visit).verdict
    client.post(at(visit, "third.above"), WORN)
    visit.refresh_from_db()
    assert judged(visit).verdict == before
    page = shown(client, at(visit, "barrel.above"))
    assert before.sentence in page
    assert "The barrel is judged as a whole" in page
    assert "The barrel is judged as a whole" not in shown(client, at(visit, "third.above"))


def test_the_barrels_sizes_are_the_same_on_both_pages(client, visit):
    client.post(at(visit, "barrel.above"), {"above.hole_mm": "0,931 ± 0,006"})
    assert 'value="0.931 ± 0.006"' in shown(client, f"/visits/{visit.number}/measure/")


def test_a_size_wrong_by_ten_is_asked_about_before_it_is_saved(client, visit):
    typed = {f"{THIRD}.hole_mm": "2,15 2,16 2,15", f"{THIRD}.pivot_mm": "0,2"}
    answer = client.post(at(visit, "third.above"), typed)
    assert answer.status_code == 422
    said = html.unescape(answer.content.decode())
    assert "2.15 2.16 2.15 mm is 10 times too large (0.215 ± 0.004 by the sheet)" in said
    assert not Measurement.objects.exists()
    client.post(at(visit, "third.above"), {**typed, "mend": "all"})
    hole = Measurement.objects.get(key=f"{THIRD}.hole_mm")
    assert (round(hole.value, 4), hole.word) == (0.2153, "0.215 0.216 0.215")
    assert Measurement.objects.get(key=f"{THIRD}.pivot_mm").value == 0.2


def test_what_is_right_as_typed_is_saved_so(client, visit):
    typed = {f"{THIRD}.hole_mm": "2,15", "mend": "none"}
    assert client.post(at(visit, "third.above"), typed).status_code == 302
    assert Measurement.objects.get().value == 2.15


def test_a_size_as_it_may_be_is_not_asked_about(client, visit):
    assert client.post(at(visit, "third.above"), WORN).status_code == 302


def test_a_single_reading_has_the_doubt_of_its_instrument(client, visit):
    typed = {f"{THIRD}.pivot_mm": "0,198", "with.pivot": "a micrometer"}
    client.post(at(visit, "third.above"), typed)
    row = Measurement.objects.get()
    assert (row.value, row.u, row.instrument) == (0.198, 0.003, "a micrometer")
    assert '<option value="a micrometer" selected>' in shown(client, at(visit, "third.above"))
    told = Change.objects.latest("pk")
    assert told.fields["instrument"] == [None, "a micrometer"]


def test_its_own_uncertainty_counts_before_the_instruments(client, visit):
    typed = {f"{THIRD}.pivot_mm": "0,198 ± 0,002", "with.pivot": "a micrometer"}
    client.post(at(visit, "third.above"), typed)
    assert Measurement.objects.get().u == 0.001


def test_another_instrument_alone_is_a_change(client, visit):
    key = f"{THIRD}.pivot_mm"
    client.post(at(visit, "third.above"), {key: "0,198", "with.pivot": "a micrometer"})
    row = Measurement.objects.get()
    typed = {key: "0.198 ± 0.006", f"seen.{key}": str(row.version), "with.pivot": ""}
    client.post(at(visit, "third.above"), typed)
    row.refresh_from_db()
    assert (row.instrument, row.version) == ("", 2)


def test_an_instruments_scatter_is_learnt_from_repeats(client, visit):
    assert not instruments_known()["a micrometer"].is_learnt
    assert "learnt from" not in shown(client, at(visit, "third.above"))
    for place, text in (("third.above", "0,1980 0,1990 0,1985"), ("third.below", "0,199 0,201")):
        key = f"bearing.{place}.pivot_mm"
        client.post(at(visit, place), {key: text, "with.pivot": "a micrometer"})
    few = instruments_known()["a micrometer"]
    assert not few.is_learnt
    client.post(
        at(visit, "fourth.above"),
        {"bearing.fourth.above.pivot_mm": "0,151 0,152 0,1515", "with.pivot": "a micrometer"},
    )
    learnt = instruments_known()["a micrometer"]
    groups = ((0.198, 0.199, 0.1985), (0.199, 0.201), (0.151, 0.152, 0.1515))
    assert learnt.scatter.freedom == 5
    assert learnt.scatter.deviation == pytest.approx(pooled(groups).deviation)
    assert "learnt from 5 repeats" in shown(client, at(visit, "third.above"))


def test_repeats_keep_their_own_scatter_and_get_what_readings_share():
    known = InstrumentKnown(instrument=MICROMETER)
    assert with_instrument("0,198 0,199", known) == "0.198 0.199 ± 0.0042"
    assert with_instrument("0,198", None) == "0,198"
    assert with_instrument("", known) == ""


def test_sizes_that_cannot_be_together_are_refused_and_stay_typed(client, visit):
    typed = {f"{THIRD}.hole_mm": "0,200", f"{THIRD}.pivot_mm": "0,240"}
    answer = client.post(at(visit, "third.above"), typed)
    assert answer.status_code == 422
    page = html.unescape(answer.content.decode())
    assert "third wheel, above: the pivot 0.24 mm is larger than its hole" in page
    assert 'value="0,240"' in page
    assert not Measurement.objects.exists()


def test_who_saves_second_is_told(client, visit):
    client.post(at(visit, "third.above"), WORN)
    answer = client.post(at(visit, "third.above"), {f"{THIRD}.hole_mm": "0,26"})
    assert answer.status_code == 409


def test_a_worn_bearing_becomes_a_finding_only_when_somebody_says_yes(client, visit):
    client.post(at(visit, "third.above"), WORN)
    assert not Finding.objects.exists()
    assert "Note as a finding: Worn hole: third wheel, above" in shown(
        client, at(visit, "third.above")
    )
    client.post(f"{at(visit, 'third.above')}note/")
    row = Finding.objects.get()
    assert (row.key, row.title) == ("bearing-worn", "Worn hole: third wheel, above")
    assert row.detail.startswith(
        "Measured at the third wheel, above: Third wheel, above: worn. Play 0.052 ± 0.007 mm"
    )
    assert "noted as a finding" in shown(client, at(visit))
    version = Measurement.objects.get(key=f"{THIRD}.hole_mm").version
    more = {f"{THIRD}.hole_mm": "0,260 ± 0,006", f"seen.{THIRD}.hole_mm": str(version)}
    client.post(at(visit, "third.above"), more)
    client.post(f"{at(visit, 'third.above')}note/", {"seen": str(row.version)})
    row = Finding.objects.get()
    assert "Play 0.062" in row.detail
    assert "Play 0.052" not in row.detail
    assert client.post(f"{at(visit, 'third.above')}note/", {"seen": "0"}).status_code == 409


def test_a_sound_bearing_is_no_finding(client, visit):
    sound = {f"{THIRD}.hole_mm": "0,215 ± 0,002", f"{THIRD}.pivot_mm": "0,2 ± 0,002"}
    client.post(at(visit, "third.above"), sound)
    assert "Note as a finding" not in shown(client, at(visit, "third.above"))
    assert client.post(f"{at(visit, 'third.above')}note/").status_code == 422
    assert not Finding.objects.exists()


def test_the_normal_play_beside_the_field_follows_a_measured_pivot(client, visit):
    assert "0.010 to 0.015, the trade's table" in shown(client, at(visit, "fourth.above"))
    client.post(at(visit, "fourth.above"), {"bearing.fourth.above.pivot_mm": "0,25"})
    page = shown(client, at(visit, "fourth.above"))
    assert "0.015 to 0.020, the trade's table" in page
    assert "0.010 to 0.015" not in page


def test_a_place_the_movement_lacks_is_none(client, visit):
    assert client.get(at(visit, "rotor")).status_code == 404
    Watch.objects.update(calibre="lindquell-25")
    assert client.get(at(visit, "rotor")).status_code == 200


def test_a_photograph_is_offered_and_told(client, visit):
    page = shown(client, at(visit, "third.above"))
    assert "Or measure the hole in photograph" not in page
    row = Photograph.objects.create(
        visit=visit, stored="a.jpg", sha256="a", format="JPEG", bytes=9, width_px=40, height_px=30
    )
    page = shown(client, at(visit, "third.above"))
    assert f'href="/photographs/{row.pk}/measure/?table=bearing.third.above&after=no"' in page
    assert "measured on photograph" not in page
    Measurement.objects.create(
        visit=visit, key=f"{THIRD}.hole_mm", value=0.233, u=0.004, photograph=row, note="Round."
    )
    assert "measured on photograph 1: 0.233 ± 0.008" in shown(client, at(visit, "third.above"))


def test_the_report_names_a_bearing_that_was_measured_in_a_photograph(visit):
    row = Photograph.objects.create(
        visit=visit, stored="a.jpg", sha256="a", format="JPEG", bytes=9, width_px=40, height_px=30
    )
    assert list(told_of(visit, [row])) == []
    for key in (f"{THIRD}.hole_mm", "above.hole_mm"):
        Measurement.objects.create(
            visit=visit, key=key, value=0.233, u=0.004, photograph=row, note=f"Seen: {key}."
        )
    visit.refresh_from_db()
    told = {each.title: each.detail for each in told_of(visit, [row])}
    assert told["Third wheel, above, measured"] == f"Seen: {THIRD}.hole_mm."
    assert told["Arbor, bridge side, measured"] == "Seen: above.hole_mm."


def test_other_bearings_are_named_among_the_sizes_of_a_visit(client, visit):
    client.post(at(visit, "third.above"), WORN)
    names = [each.name for each in sizes_seen(visit.measurements.all())]
    assert names == [
        "Third wheel, above: diameter of the hole, if round",
        "Third wheel, above: diameter of the pivot",
    ]
    page = shown(client, f"/visits/{visit.number}/")
    assert "Third wheel, above: diameter of the pivot" in page
    assert "Other bearings" in page
    assert "Third wheel, above: worn. Play" in page
    assert "No size is measured yet" not in page


def test_a_visit_without_other_bearings_tells_of_none(client, visit, shipped_sizes):
    assert "No size is measured yet" in shown(client, f"/visits/{visit.number}/")
    client.post(f"/visits/{visit.number}/measure/", shipped_sizes)
    assert "Other bearings" not in shown(client, f"/visits/{visit.number}/")


def test_what_is_measured_after_the_work_stands_beside_what_was_before(client, visit):
    client.post(at(visit, "third.above"), WORN)
    address = f"/visits/{visit.number}/desk-after/third.above/"
    new = {f"{THIRD}.hole_mm": "0,213 ± 0,002"}
    assert client.post(address, new).status_code == 302
    page = shown(client, address)
    assert "Third wheel, above: leave it. Play 0.015 ± 0.004 mm" in page  # with the pivot of before
    assert "Note as a finding" not in page
    assert "Third wheel, above: worn" in shown(client, at(visit, "third.above"))
    seen = sizes_seen(visit.measurements.all())[0]
    assert (seen.before, seen.after) == ("0.250 ± 0.006 mm", "0.2130 ± 0.0020 mm")
    whole = shown(client, f"/visits/{visit.number}/desk-after/")
    assert 'aria-label="third wheel, above: leave it"' in whole
    assert "barrel arbor" not in whole.lower()


def test_a_new_hole_takes_the_place_of_the_oval_one_and_of_the_play_that_was_read():
    before = [
        Measurement(key=f"{THIRD}.{size}", value=1.0)
        for size in ("hole_long_mm", "hole_short_mm", "play_mm", "pivot_mm", "endshake_mm")
    ]
    new = Measurement(key=f"{THIRD}.hole_mm", value=2.0, after=True)
    left = {row.key.rpartition(".")[2] for row in now_known([*before, new], after=True)}
    assert left == {"hole_mm", "pivot_mm", "endshake_mm"}
    shake = Measurement(key=f"{THIRD}.endshake_mm", value=2.0, after=True)
    assert len(now_known([*before, shake], after=True)) == len(before)
    assert now_known([*before, new], after=False) == before


def test_proposal_and_plan_read_the_same_judgement(client, visit):
    for place in ("third.above", "fourth.above"):
        key = f"bearing.{place}"
        client.post(at(visit, place), {f"{key}.play_mm": "0,052 ± 0,006", "mend": "none"})
        client.post(f"{at(visit, place)}note/")
    client.post(f"/visits/{visit.number}/proposal/begin/")
    option = Option.objects.get(key="train-bearing")
    assert option.title == "New bearing for a wheel of the train (2 in all)"
    assert option.evidence.count("Play 0.052 ± 0.006 mm") == 2
    assert option.lines[0]["each"] == "180.00"  # twice 45 to 90 min, 80 an hour
    assert "90 to 180 min" in shown(client, f"/visits/{visit.number}/proposal/1/")
    option.chosen = True
    option.save()
    Proposal.objects.update(state="agreed")
    step = next(each for each in wanted_steps(visit) if each.key == "option-train-bearing")
    assert step.how.count("Play 0.052 ± 0.006 mm") == 2
    assert step.planned_minutes == 135
    Finding.objects.all().delete()
    bare = next(each for each in wanted_steps(visit) if each.key == "option-train-bearing")
    assert "Play" not in bare.how
    assert bare.planned_minutes == 68


def test_page_and_command_judge_the_shipped_example_alike(client, visit, capsys):
    bearing(measured="worn-train", as_json=True)
    said = json.loads(capsys.readouterr().out)
    for name, lines in worn_train().items():
        typed = {f"bearing.{name}.{size}": text for size, text in lines.items()}
        assert client.post(at(visit, name), {**typed, "mend": "none"}).status_code == 302
    judged_here = places_seen(visit)
    for name, figures in said["bearings"].items():
        found = judged_here.at(name)
        assert str(found.stage) == figures["verdict"]
        assert found.beyond == pytest.approx(figures["worn_probability"])
        page = shown(client, at(visit, name))
        assert any(sentence in page for sentence in said["sentences"])
    assert "it leans up to 0.86 ± 0.08°" in shown(client, at(visit))


def worn_train() -> dict[str, dict[str, str]]:
    """The shipped example as it is typed in; what has no ± gets the file's."""
    tree = toml_at("worn-train", "sideshake.wear")
    tables = {name: table for name, table in tree.items() if isinstance(table, dict)}
    return {
        f"{arbor}.{side}": {size: text_of(text) for size, text in lines.items()}
        for arbor, table in tables.items()
        for side, lines in table.items()
    }
