"""The page on balance and hairspring, as a restorer uses it."""

QUERIES = 15
SPRING = {"height_mm": "0,12+-0,004", "thickness_mm": "0.026+-0.0008", "length_mm": "105+-4"}


def asked(client, **lines):
    answer = client.get("/balance/", {"sent": "1", **lines})
    assert answer.status_code == 200
    return answer.content.decode()


def test_a_calibre_s_sheet_fills_it_in_and_answers_at_once(client, django_assert_max_num_queries):
    with django_assert_max_num_queries(QUERIES):
        page = client.get("/balance/?calibre=tarnbrook-31").content.decode()
    assert "Balance and hairspring, Tarnbrook 31" in page
    assert "To beat 18000 times an hour it wants a hairspring of 0.35 ± 0.03" in page
    assert 'value="14 ± 1.4"' in page
    assert "lacks" not in page


def test_empty_it_asks_for_what_is_known(client):
    page = client.get("/balance/").content.decode()
    assert "Write below what is known" in page
    assert "To beat" not in page


def test_a_measured_spring_is_judged(client):
    page = asked(
        client, beats_per_hour="18000", inertia_mg_cm2="14+-1.4", spring="carbon steel", **SPRING
    )
    assert "may be the right one" in page
    assert "too strong" not in page
    strong = {**SPRING, "thickness_mm": "0.033+-0.0004"}
    page = asked(
        client, beats_per_hour="18000", inertia_mg_cm2="14+-0.6", spring="carbon steel", **strong
    )
    assert "It is too strong for 18000" in page


def test_a_question_begun_says_what_it_lacks(client):
    assert "Weight on the rim: lacks moment of inertia" in asked(client, weight_ug="500")
    assert "lacks" not in asked(client, length_mm="100", shortened_mm="0,1")


def test_what_cannot_be_read_stands_at_its_line(client):
    page = asked(client, length_mm="long", shortened_mm="1")
    assert "Cannot read" in page
    assert "Something below cannot be used" in page
    assert "gains" not in page


def test_what_contradicts_itself_is_said_above(client):
    page = asked(client, length_mm="1", shortened_mm="2")
    assert "cannot be shortened by 2 mm" in page


def test_a_calibre_nobody_knows_is_simply_empty(client):
    assert "Write below what is known" in client.get("/balance/?calibre=../x").content.decode()


def test_watch_visit_and_calibre_lead_there(client, visit):
    address = "/balance/?calibre=tarnbrook-31"
    for page in (f"/watches/{visit.watch_id}/", "/calibres/tarnbrook-31/"):
        assert address in client.get(page).content.decode()
    assert address in client.get(f"/visits/{visit.number}/").content.decode()
    assert "/balance/" in client.get("/calibres/").content.decode()


def test_a_watch_without_a_calibre_does_not_lead_there(client, visit):
    watch = visit.watch
    watch.calibre = ""
    watch.save()
    assert "/balance/" not in client.get(f"/watches/{watch.pk}/").content.decode()
