"""A round in a real browser at both sizes: begun by keys, read, corrected, without a mouse."""

from heard_rounds import SPOT, SPOT_24H, heard_round

from sideshake.web.models import Round


def test_two_keys_lead_from_the_visit_to_listening(desk, visit):
    desk.go("/visits/2026-001/")
    desk.press("g")
    desk.look()
    desk.press("Space")
    (found,) = Round.objects.all()
    assert len(found.plan) == 7
    assert desk.page.url.endswith(f"/rounds/{found.pk}/listen/")
    desk.press("o")
    desk.shows("Nothing heard yet in this round.", "Listen to the 7 positions left")
    desk.look()
    desk.press("Space")
    assert desk.page.url.endswith(f"/rounds/{found.pk}/listen/")


def test_a_preset_is_one_key(desk, visit):
    desk.go("/visits/2026-001/rounds/new/")
    desk.press("3")
    assert [each["position"] for each in Round.objects.get().plan] == ["CH", "FH"]


def test_what_a_round_says_is_read_and_a_reading_taken_out(desk, visit, restorer):
    found = heard_round(visit, restorer, SPOT, running={"CH": (3, 236)})
    heard_round(visit, restorer, SPOT_24H, wound="24h")
    desk.go("/visits/2026-001/")
    desk.enter("fully wound")
    desk.shows("Hanging minus lying", "A heavy spot makes", "From full wind to 24 h")
    desk.page.wait_for_function("[...document.images].every((each) => each.naturalWidth > 100)")
    desk.look()
    desk.enter("Take out")
    desk.enter("Take it out")
    desk.shows("The reading is out of the round", "Listen to the one position left")
    assert found.readings.count() == 6
