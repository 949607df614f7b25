"""A page to show, from consent to archive: refused without, read before, free of every secret."""

import io
import re
import zipfile
from datetime import date, timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone
from PIL import Image

from sideshake.web.base.saving import save
from sideshake.web.drawer.models import Batch
from sideshake.web.models import (
    Change,
    Finding,
    Invoice,
    Item,
    Option,
    Photograph,
    PlanStep,
    Proposal,
    Used,
    Visit,
)

ROOT = "/visits/2026-001/show/"
GPS = 0x8825
SECRET = ("Ottilie", "Marwood", "88123", "M-771204", "Fernhollow", "960123", "2026-001", "INV-2026",
          "238", "ottilie@example.org", "RR123456785")  # fmt: skip


def jpeg_with_place(colour: str) -> bytes:
    exif = Image.Exif()
    exif.get_ifd(GPS).update({1: "N", 2: (47.0, 22.0, 33.0), 3: "E", 4: (8.0, 32.0, 30.0)})
    stream = io.BytesIO()
    Image.new("RGB", (900, 600), colour).save(stream, "JPEG", exif=exif)
    return stream.getvalue()


@pytest.fixture
def told(client, visit, colleague):
    """A visit whose records name its owner in every way."""
    owner, watch = visit.watch.owner, visit.watch
    owner.address, owner.phone = "3 Fernhollow Lane\nAB1 2CD Oberaldermoor", "+44 1632 960123"
    save(owner, colleague)
    watch.story = "Ottilie's aunt wore no. 88 123 in Oberaldermoor until 1912.\nThen it stopped."
    watch.case_serial, watch.movement_serial = "88123", "M-771204"
    watch.dial_seen = "silver, two counters"
    save(watch, colleague)
    visit.tracking_in = "RR123456785"
    save(visit, colleague)
    save(Finding(visit=visit, title="Hole worn oval", detail="1.012 by 0.936 mm"), colleague)
    lines = [{"kind": "work", "text": "x", "quantity": "1", "each": "238.00", "tax_percent": "0"}]
    proposal = Proposal(visit=visit, edition=1, currency="EUR", made_on=date(2026, 3, 3),
                        state="agreed")  # fmt: skip
    save(proposal, colleague)
    save(Option(proposal=proposal, title="A jewel for the bridge", reason="It leans.",
                chosen=True, lines=lines), colleague)  # fmt: skip
    save(PlanStep(visit=visit, key="option-jewel", place=1, title="A jewel for the bridge",
                  note="a dog's hair", done_at=timezone.now()), colleague)  # fmt: skip
    save(Invoice(visit=visit, number="INV-2026-001", issued_on=date(2026, 3, 30),
                 due_on=date(2026, 4, 13), currency="EUR", lines=lines), colleague)  # fmt: skip
    item = Item(kind="jewel", name="Jewel 0.92 × 2.00")
    save(item, colleague)
    batch = Batch(item=item, received_on=date(2026, 3, 1), quantity=3, origin="made")
    save(batch, colleague)
    save(Used(visit=visit, batch=batch, on=date(2026, 3, 9)), colleague)
    for colour in ("#c9b98f", "#7a5515"):
        upload = SimpleUploadedFile("IMG_2031.jpg", jpeg_with_place(colour), "image/jpeg")
        client.post("/visits/2026-001/photographs/add/", {"photographs": [upload]})
    return Visit.objects.get()


def agree(browser, **changed):
    given = {"show_agreed_on": "2026-03-20", "show_agreed_how": "letter of 20 March", **changed}
    return browser.post(f"{ROOT}consent/", given)


def typed(browser, **changed):
    """Return the form as the page fills it, with some of it changed."""
    data = browser.get(ROOT).context["form"].data
    return {**{name: data[name] for name in data}, **changed}


CLEAN = {"story": "An aunt wore it until 1912.\r\nThen it stopped."}


def test_without_consent_the_page_says_so_and_nothing_is_made(client, told):
    page = client.get(ROOT).content.decode()
    assert "No consent is recorded, so nothing can be made." in page
    assert "<textarea" not in page
    answer = client.post(f"{ROOT}write/", {"title": "A watch"})
    assert answer.status_code == 422
    assert "has not agreed" in answer.content.decode()


def test_consent_is_recorded_with_day_and_way_and_told_in_the_history(client, told):
    assert agree(client).url == ROOT
    assert "letter of 20 March" in client.get(ROOT).content.decode()
    assert Change.objects.first().what == "the owner agreed that the story may be shown"


@pytest.mark.parametrize("lacking", ["show_agreed_on", "show_agreed_how"])
def test_consent_without_its_day_or_way_is_none(client, told, lacking):
    assert agree(client, **{lacking: ""}).status_code == 422
    assert "No consent is recorded" in client.get(ROOT).content.decode()


def test_consent_is_not_given_tomorrow(client, told):
    tomorrow = (timezone.localdate() + timedelta(days=1)).isoformat()
    assert "not come yet" in agree(client, show_agreed_on=tomorrow).content.decode()


def test_what_is_left_out_and_what_still_tells_too_much_is_listed_first(client, told):
    agree(client)
    page = client.get(ROOT)
    said = page.content.decode()
    for words in ("the case number", "prices, proposals and invoices", "telephone and email"):
        assert words in said
    found = {each.words: each.what for each in page.context["telling"]}
    assert found == {
        "Ottilie": "the owner's name",
        "88 123": "the case number",
        "Oberaldermoor": "the owner's address",
    }
    assert "3 things would still tell too much" in said


def test_nothing_is_written_while_a_word_tells_too_much(client, told):
    agree(client)
    answer = client.post(f"{ROOT}write/", typed(client))
    assert answer.status_code == 422
    assert "Nothing was written." in answer.content.decode()
    assert "“88 123”" in answer.content.decode()
    assert not Change.objects.filter(what__startswith="page to show").exists()


def test_what_tells_too_much_can_be_hidden_at_one_press(client, told):
    agree(client)
    page = client.post(ROOT, typed(client, do="hide"))
    story = page.context["form"]["story"].value()
    assert story == "…'s aunt wore no. … in … until 1912.\nThen it stopped."
    assert page.context["telling"] == []


def files_of(answer) -> dict[str, bytes]:
    assert answer.status_code == 200, answer.content[:600]
    assert answer["Content-Type"] == "application/zip"
    with zipfile.ZipFile(io.BytesIO(answer.content)) as packed:
        return {name: packed.read(name) for name in packed.namelist()}


def test_the_archive_holds_the_story_and_no_secret(client, told):
    agree(client)
    first = Photograph.objects.first()
    wanted = {**CLEAN, f"photo_{first.pk}": "on", f"caption_{first.pk}": "As it came"}
    answer = client.post(f"{ROOT}write/", typed(client, **wanted))
    assert 'filename="expedition-chronograph.zip"' in answer["Content-Disposition"]
    files = files_of(answer)
    assert sorted(files) == [
        "expedition-chronograph/index.html",
        "expedition-chronograph/picture-1.jpg",
        "expedition-chronograph/style.css",
    ]
    page = files["expedition-chronograph/index.html"].decode()
    for words in ("An aunt wore it until 1912.", "silver, two counters", "Hole worn oval",
                  "A jewel for the bridge.", "Jewel 0.92", "As it came"):  # fmt: skip
        assert words in page, words
    assert "dog" not in page  # notes of the bench are the bench's
    for data in files.values():
        for secret in SECRET:
            assert secret.lower().encode() not in data.lower()


def test_a_chosen_photograph_tells_no_place_no_camera_and_no_time(client, told):
    agree(client)
    wanted = {f"photo_{each.pk}": "on" for each in Photograph.objects.all()}
    files = files_of(client.post(f"{ROOT}write/", typed(client, **CLEAN, **wanted)))
    pictures = [data for name, data in files.items() if name.endswith(".jpg")]
    assert len(pictures) == 2
    for data in pictures:
        assert not Image.open(io.BytesIO(data)).getexif()
        assert b"Exif" not in data
        assert b"xmp" not in data.lower()


def test_the_same_page_gives_the_same_bytes(client, told):
    agree(client)
    first, again = (client.post(f"{ROOT}write/", typed(client, **CLEAN)) for _ in range(2))
    assert first.content == again.content


def test_the_history_keeps_what_was_shown(client, told, owner_of_workshop):
    agree(client)
    client.post(f"{ROOT}write/", typed(client, **CLEAN))
    change = Change.objects.first()
    assert change.by == owner_of_workshop
    assert change.what.startswith("page to show made with 0 photographs; its archive has SHA-256")
    assert "An aunt wore it until 1912." in change.fields["page"][1]
    page = client.get("/visits/2026-001/history/")
    assert "page to show made" in page.content.decode()


def test_a_harmless_word_may_stay_when_it_is_ticked(client, told):
    agree(client)
    story = {"story": "Oberaldermoor is where the fair was."}
    assert client.post(f"{ROOT}write/", typed(client, **story)).status_code == 422
    answer = client.post(f"{ROOT}write/", typed(client, **story, stays="Oberaldermoor"))
    assert b"Oberaldermoor is where" in files_of(answer)["expedition-chronograph/index.html"]


def test_a_secret_under_a_photograph_is_found(client, told):
    agree(client)
    first = Photograph.objects.first()
    wanted = {f"photo_{first.pk}": "on", f"caption_{first.pk}": "Marwood's watch"}
    page = client.post(ROOT, typed(client, **CLEAN, **wanted))
    (found,) = page.context["telling"]
    assert (found.words, found.where) == ("Marwood", ("the words under the photographs",))


def test_after_the_consent_is_withdrawn_nothing_is_made_any_more(client, told):
    agree(client)
    given = typed(client, **CLEAN)
    client.post(f"{ROOT}withdraw/")
    assert "No consent is recorded" in client.get(ROOT).content.decode()
    assert client.post(f"{ROOT}write/", given).status_code == 422
    assert Change.objects.first().what == "the owner does not agree any more that it is shown"


def test_a_page_without_a_title_is_refused(client, told):
    agree(client)
    answer = client.post(f"{ROOT}write/", typed(client, **CLEAN, title=""))
    assert answer.status_code == 422


@pytest.mark.parametrize("page", ["", "write/", "consent/", "withdraw/"])
def test_showing_is_not_for_an_apprentice_nor_a_stranger(apprentice_client, stranger, told, page):
    assert apprentice_client.post(ROOT + page).status_code == 403
    assert stranger.post(ROOT + page).status_code in (302, 403)


def test_pages_ask_few_questions(client, told, django_assert_max_num_queries):
    agree(client)
    given = typed(client, **CLEAN)
    with django_assert_max_num_queries(16):
        assert client.get(ROOT).status_code == 200
    with django_assert_max_num_queries(19):
        assert client.post(f"{ROOT}write/", given).status_code == 200


def test_no_word_of_the_page_is_markup(client, told):
    agree(client)
    hostile = {"title": '</title><script>alert("x")</script>', "story": "<img src=x onerror=y>"}
    files = files_of(client.post(f"{ROOT}write/", typed(client, **hostile)))
    page = next(data for name, data in files.items() if name.endswith("html")).decode()
    assert not re.search("<script|<img src=x", page)
