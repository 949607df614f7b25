import re
from dataclasses import replace

import pytest
from pseudo_language import escaped, speaking_with_accents

from sideshake.command.measured import measurements_at
from sideshake.movement.sheet_file import shipped_names, shipped_sheet
from sideshake.wear.amplitude import AmplitudeSpan
from sideshake.wear.measurements import bench
from sideshake.wear.rubbing import chance_words
from sideshake.wear.verdict import Action, BearingPlace, verdict
from sideshake.wording import Language, speaking
from sideshake.workshop_rules.findings import USUAL, SeenFinding
from sideshake.workshop_rules.jobs import JOBS
from sideshake.workshop_rules.need import WorkNeed
from sideshake.workshop_rules.options import COMMON_PRACTICE, OpeningDepth
from sideshake.workshop_rules.plan import overhaul_time
from sideshake.workshop_rules.suggest import suggestions, unanswered

TARNBROOK = shipped_sheet("tarnbrook-31")


def judged(**changes):
    dotted = {key.replace("__", "."): value for key, value in changes.items()}
    found = measurements_at("leaning-barrel", dotted)
    return verdict(bench(TARNBROOK, found).case)


LEANING = judged()
SOUND = judged(above__hole_long_mm=0.926, above__hole_short_mm=0.924, above__pivot_mm="0.900")


def keys(found):
    return [each.key for each in found]


def test_a_worn_hole_asks_for_a_jewel_or_a_bush_instead_with_an_overhaul():
    found = suggestions(LEANING, (), TARNBROOK)
    assert LEANING.action is Action.JEWEL_ABOVE
    assert keys(found) == ["jewel-above", "bush-above", "overhaul"]
    assert found[1].instead_of == "jewel-above"
    assert [each.on_top_of for each in found] == ["overhaul", "overhaul", None]


def test_where_no_jewel_may_be_added_only_a_bush_is_offered():
    found = suggestions(judged(metal_only=True), (), TARNBROOK)
    assert keys(found) == ["bush-above", "overhaul"]
    assert found[0].instead_of is None


def test_where_the_metal_has_no_room_a_part_is_replaced():
    found = suggestions(judged(above__room_mm=1.02), (), TARNBROOK)
    assert keys(found) == ["replace-barrel", "overhaul"]


def test_what_is_sound_asks_for_nothing():
    assert SOUND.action is Action.LEAVE
    assert suggestions(SOUND, (), TARNBROOK) == ()


def test_what_nobody_measured_asks_for_nothing_and_hides_nothing_that_was_felt():
    unknown = verdict(bench(TARNBROOK, measurements_at(None, {})).case)
    assert unknown.action is Action.MEASURE
    assert suggestions(unknown, (), TARNBROOK) == ()
    felt = (SeenFinding(key="barrel-hole-worn"),)
    assert suggestions(unknown, felt, TARNBROOK) == suggestions(None, felt, TARNBROOK)


def test_what_begins_to_wear_is_measured_again():
    begun = judged(above__hole_long_mm=0.955, above__hole_short_mm=0.95)
    assert begun.action is Action.WATCH
    again = suggestions(begun, (), TARNBROOK)
    assert keys(again) == ["measure-again"]
    assert again[0].time.most_min == 0
    assert len(again[0].evidence) == 1


def test_the_evidence_is_what_was_measured_and_reckoned():
    jewel = suggestions(LEANING, (), TARNBROOK)[0]
    told = " ".join(jewel.evidence)
    assert LEANING.free.left_mm.text() in told
    assert chance_words(LEANING.probability) == "88 %"
    assert "88 %" in told
    assert f"up to {LEANING.gain.amplitude_deg.most:.0f} degrees" in told
    assert "88 %" in jewel.if_left
    assert jewel.parts == ("jewel for the bridge",)


def test_a_gain_nobody_notices_is_not_promised():
    small = replace(LEANING.gain, amplitude_deg=AmplitudeSpan(least=0.0, most=0.4))
    told = suggestions(replace(LEANING, gain=small), (), TARNBROOK)[0].evidence
    assert "will not make the watch run more strongly" in told[-1]
    assert len(suggestions(replace(LEANING, gain=None), (), TARNBROOK)[0].evidence) == 2


def test_two_worn_holes_take_two_jewels_and_twice_the_time():
    worn = judged(below__hole_mm=1.0)
    assert worn.places == (BearingPlace.BELOW, BearingPlace.ABOVE)
    found = suggestions(worn, (), TARNBROOK)[0]
    assert found.key == "jewel-below-above"
    assert "jewels" in found.title
    assert found.reason.startswith("The barrel, the drum")
    assert found.reason.count("is worn: its play is") == 2
    one = suggestions(LEANING, (), TARNBROOK)[0]
    assert found.time.most_min == 2 * one.time.most_min


def test_each_hole_is_argued_from_its_own_size():
    """The bridge 0.116 mm is worn; the plate 0.031 ± 0.009 against 0.033 is not shown to be."""
    told = suggestions(LEANING, (), TARNBROOK)[0].reason
    assert "in the bridge above it is worn: its play is 0.116 ± 0.009 mm" in told
    assert "in the base plate is not shown to be worn: its play is 0.031 ± 0.009 mm" in told
    assert "Both" not in told
    begun = judged(below__hole_mm="0.945+-0.002", below__pivot_mm="0.897+-0.002")
    assert "in the base plate has begun to wear" in suggestions(begun, (), TARNBROOK)[0].reason


def test_a_hole_that_nobody_measured_is_not_called_worn_or_sound():
    unseen = replace(LEANING, unmeasured=frozenset({BearingPlace.BELOW}))
    told = suggestions(unseen, (), TARNBROOK)[0].reason
    assert "The one in the base plate was not measured." in told
    assert "was not measured" not in suggestions(LEANING, (), TARNBROOK)[0].reason


def test_a_sound_hole_is_cut_only_for_a_reason_that_is_told():
    near = judged(
        below__hole_mm="0.945+-0.002", barrel__gap_plate_mm="0.05+-0.003",
        barrel__gap_bridge_mm="0.05+-0.003",
    )  # fmt: skip
    told = suggestions(near, (), TARNBROOK)[0].reason
    if BearingPlace.BELOW in near.places and near.action is not Action.REPLACE:
        assert "It is made anew too, since without that" in told
    else:
        assert "It is made anew too" not in told
    assert "made anew too" not in suggestions(LEANING, (), TARNBROOK)[0].reason


def test_a_repair_is_necessary_only_where_the_barrel_surely_rubs():
    surely = replace(LEANING, free=replace(LEANING.free, sampled=0.97))
    jewel, bush, overhaul = suggestions(surely, (), TARNBROOK)
    assert (jewel.need, bush.need, overhaul.need) == ("necessary", "possible", "necessary")
    rarely = replace(LEANING, free=replace(LEANING.free, sampled=0.6))
    assert suggestions(rarely, (), TARNBROOK)[0].need == "advised"


def test_how_bad_a_finding_is_decides_how_needed_its_job_is():
    findings = (
        SeenFinding(key="crystal-damaged", need=WorkNeed.POSSIBLE),
        SeenFinding(key="gasket-dead"),
        SeenFinding(key="crown-worn", need=WorkNeed.NECESSARY),
    )
    found = {each.key: each.need for each in suggestions(None, findings, TARNBROOK)}
    assert found == {"crystal": "possible", "gaskets": "advised", "crown": "necessary"}


def test_findings_ask_for_the_jobs_that_answer_them():
    findings = (
        SeenFinding(key="crystal-damaged", evidence="photograph 3"),
        SeenFinding(key="hand-jumps"),
        SeenFinding(key="reset-off"),
    )
    crystal, chronograph = suggestions(None, findings, TARNBROOK)[1:]
    assert crystal.evidence == ("photograph 3",)
    assert chronograph.reason == (
        "The stopwatch hand jumps when it is started. "
        "The stopwatch hand does not return exactly to zero."
    )


def test_work_from_outside_needs_no_overhaul():
    found = suggestions(None, (SeenFinding(key="crystal-damaged"),), TARNBROOK)
    assert keys(found) == ["crystal"]
    assert found[0].depth is OpeningDepth.OUTSIDE


def test_what_was_measured_takes_the_place_of_what_was_felt():
    felt = (SeenFinding(key="barrel-hole-worn"),)
    assert keys(suggestions(None, felt, TARNBROOK)) == ["overhaul", "barrel"]
    assert "barrel" not in keys(suggestions(LEANING, felt, TARNBROOK))
    seen = (SeenFinding(key="barrel-rubs", evidence="photograph 7"),)
    assert suggestions(LEANING, seen, TARNBROOK)[0].evidence[-1] == "photograph 7"
    assert "barrel" in keys(suggestions(SOUND, felt, TARNBROOK))


def test_what_was_found_is_offered_though_the_sheet_does_not_know_the_part():
    found = suggestions(None, (SeenFinding(key="rotor-rubs"),), TARNBROOK)
    assert keys(found) == ["rotor"]


def test_nothing_found_is_nothing_offered():
    assert suggestions(None, (), TARNBROOK) == ()


def test_what_no_option_answers_is_told():
    free = SeenFinding(text="A note scratched under the balance")
    weak = SeenFinding(key="weak-point-1", text="It shows")
    assert unanswered((free, SeenFinding(key="oil-dried"), weak)) == (free, weak)


def test_every_usual_finding_has_an_option():
    assert unanswered(tuple(SeenFinding(key=each.key) for each in USUAL)) == ()
    for each in USUAL:
        found = suggestions(None, (SeenFinding(key=each.key),), None)
        assert each.plain in " ".join(option.reason for option in found)


def test_every_job_answers_findings_that_there_are():
    usual = {each.key for each in USUAL}
    assert [each.key for each in JOBS if not set(each.answers) <= usual] == []


@pytest.mark.parametrize("name", shipped_names())
def test_an_overhaul_takes_the_time_of_its_steps(name):
    sheet = shipped_sheet(name)
    overhaul = suggestions(None, (SeenFinding(key="oil-dried"),), sheet)[0]
    assert overhaul.time == overhaul_time(sheet)
    assert overhaul.time.source == COMMON_PRACTICE


def test_more_mechanisms_take_more_time():
    plain = overhaul_time(shipped_sheet("wendelmoor-43"))
    assert overhaul_time(TARNBROOK).least_min > plain.least_min
    assert overhaul_time(None).most_min > overhaul_time(TARNBROOK).most_min


def test_each_worn_bearing_takes_its_own_time_and_part():
    def bearings(*found):
        return next(e for e in suggestions(None, found, TARNBROOK) if e.key == "train-bearing")

    worn = [SeenFinding(key="bearing-worn", evidence=f"at {place}") for place in ("a", "b", "c")]
    one, three = bearings(worn[0]), bearings(*worn)
    assert (one.time.least_min, one.time.most_min, one.parts) == (45, 90, ("jewel or bush",))
    assert one.title == "New bearing for a wheel of the train"
    assert (three.time.least_min, three.time.most_min) == (135, 270)
    assert three.parts == ("jewel or bush",) * 3
    assert three.title == "New bearing for a wheel of the train (3 in all)"
    assert three.evidence == ("at a", "at b", "at c")
    cracked = bearings(worn[0], SeenFinding(key="jewel-cracked"))
    assert cracked.time == one.time


def test_other_jobs_take_their_time_once():
    found = (SeenFinding(key="hands-touch"), SeenFinding(key="hands-touch"))
    hands = next(each for each in suggestions(None, found, TARNBROOK) if each.key == "hands")
    assert (hands.time.least_min, hands.time.most_min) == (20, 60)


def offered(verdict, found=()):
    """Return all that is offered to the owner, as one text."""
    return " ".join(
        " ".join((each.title, each.reason, *each.evidence, each.risk, each.if_left, *each.parts,
                  each.outwork))
        for each in suggestions(verdict, found, TARNBROOK)
    )  # fmt: skip


EVERY_FINDING = tuple(SeenFinding(key=each.key) for each in USUAL)
OFFERS = {
    "leaning": (LEANING,), "metal only": (judged(metal_only=True),),
    "no room": (judged(above__room_mm=1.02),), "no gain": (replace(LEANING, gain=None),),
    "every finding": (SOUND, EVERY_FINDING), "each twice": (SOUND, EVERY_FINDING * 2),
}  # fmt: skip


@pytest.mark.parametrize("case", OFFERS.values(), ids=OFFERS)
def test_no_word_of_what_is_offered_escapes_the_owner_s_language(case):
    """The names of neighbours are the sheet's own, and "mm" is the same everywhere."""
    own = " ".join(each.gap.name for each in (LEANING.free, SOUND.free))
    with speaking_with_accents():
        told = offered(*case)
    assert told
    assert escaped(told, own) == set()
    assert escaped(offered(*case), own) != set()


@pytest.mark.parametrize(("language", "title"), [
    (Language.GERMAN, "Neuer Lagerstein aus Rubin"), (Language.FRENCH, "Nouveau rubis"),
])  # fmt: skip
def test_an_offer_is_in_the_owner_s_language_with_its_decimal_comma(language, title):
    play = re.compile(r"\b0[.,]0\d+ ± 0[.,]0\d+")
    english = play.findall(offered(LEANING))
    with speaking(language):
        told = offered(LEANING)
    assert title in told
    assert english
    assert play.findall(told) == [each.replace(".", ",") for each in english]
