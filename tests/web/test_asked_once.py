"""What cannot be undone asks once; what is removed can be taken back, byte for byte.

A new address belongs into ASKS or into FREELY below, or this fails: think whether what it does can
be undone on a page. Whatever sends, issues, orders, cancels, removes or throws away asks.
"""

import json
import re
from datetime import timedelta
from importlib.resources import files

import pytest
from django.test import Client
from django.utils import timezone
from filled_workshop import ALL, DAY

from sideshake.core.quantities import Measured
from sideshake.sample_clock.kept import keep_clock, kept_clocks
from sideshake.sound.clock import SampleClock
from sideshake.web.base.rows import kept_tables, lines
from sideshake.web.models import (
    Batch,
    Earlier,
    Item,
    Option,
    Outwork,
    Photograph,
    Proposal,
    Reading,
    Removed,
    Step,
    Visit,
    the_workshop,
)
from sideshake.web.proposals.answering import version_with_options
from sideshake.web.removal.services import throw_away
from sideshake.web.storage.stray import put_aside as put_strays_aside

from .conftest import question_of, undone_after

INVOICE = {
    "kind": "work", "issued_on": "2026-11-30", "supplied_on": "2026-11-30", "note": "",
    "no_tax": "", "reason": "", "seen": "1",
    "lines-TOTAL_FORMS": "1", "lines-INITIAL_FORMS": "0",
    "lines-0-kind": "work", "lines-0-text": "overhaul", "lines-0-quantity": "1",
    "lines-0-each": "240", "lines-0-tax_percent": "20", "lines-0-no_tax": "",
}  # fmt: skip
ANSWER = {"answered_on": "2026-11-30", "channel": "phone", "answer": "Please do it."}
ORDER = {
    "number": "J2026-009", "to": "N. Corrick", "ordered_on": "2026-11-30", "packing": "box",
    "wanted_on": "2026-12-20",
    "ask": "the bench",
}  # fmt: skip
SEEN = {"seen": "1"}
REMOVALS = [
    "remove-finding",
    "remove-photograph",
    "remove-point",
    "remove-reading",
    "remove-round",
    "leave-round",
    "remove-programme",
    "take-back-comparison",
    "remove-step",
    "remove-test",
    "remove-item",
    "remove-batch",
    "bring-back",
    "remove-outwork",
    "remove-option",
    "remove-payment",
    "remove-logo",
    "forget-clock",
    "remove-calibre",
]
ASKS = {
    **dict.fromkeys(REMOVALS, SEEN),
    "forget-clock": {"recorder": "desk"},
    "send-proposal": SEEN | {"free": "1"},
    "answer-proposal": ANSWER,
    "new-invoice": INVOICE,
    "cancel-invoice": {},
    "issue-paper": {},
    "issue-order": {},
    "jewels": ORDER,
    "receive-order": {"on": "2026-11-30"},
    "put-run-back": {},
    "put-reading-back": {},
    "withdraw-consent": SEEN,
    "throw-old-away": {},
    "erase-owner": SEEN,
}
"""What asks, with what is sent to it."""
FREELY = {
    "only shown, or nothing is kept of it": """
        today due search removed visits owners owner watch visit history papers issued-paper
        report-pdf report-page card-pdf bench-pdf labels-pdf parts-pdf parts-drawing proposal-pdf
        invoice-pdf jewel-order-pdf jewel-order-drawing jewel-order-table jewel-order money invoice
        proposal findings look-over photograph photograph-file reading reading-picture
        recording-file slowly slow-picture slow-sound section-picture jewel jewel-drawing
        round round-picture compare compared-picture compared-rings programme-picture
        desk desk-after
        plan home-tests drawer find-jewel item use use-item outwork balance calibres calibre
        calibre-dial calibre-day-dial calibre-train calibre-spring calibre-toml calibre-history
        clock logo listen listen-round people rehearing show
        microphone begin-trial trial-sound give-out-owner write-page clock-sound begin-clock
        sign-in sign-in-link sign-out stray-files look-picture card-pdf
    """,
    "written, and written otherwise by the same form": """
        begin begun no-hints password person-password person person-new settings put-logo
        new-owner edit-owner new-watch
        edit-watch new-visit arrival home step look-over-list answer edit-finding new-finding
        add-usual-finding put-right edit-photograph edit-point add-point shift-photograph measure
        place place-after note-place
        measure-after edit-reading a-watch no-watch new-round edit-round new-programme programme
        edit-programme mend-comparison end-programme edit-proposal new-option edit-option
        shift-option new-payment edit-payment new-step plan-step tick-step turn-clock skip-step
        shift-step date-change home-test test-result new-item edit-item new-batch edit-batch
        use-batch used new-outwork edit-outwork edit-order outwork-back show-consent store-clock
        card look look-wheel look-pivot look-points edit-calibre
    """,
    "adds what can be removed, or left alone": """
        add-photographs add-recordings begin-listening add-sound finish-listening begin-proposal
        new-calibre calibre-file change-proposal make-plan make-tests have-made person-link
        leave-out-day
    """,
    "has a way back of its own": """
        rehear-reading rehear-visit rehear-watch rehear-all stop-rehearing stop-reading take-back
        put-stray-aside
    """,
}
LEFT_ALONE = {"change", "removed", "visittext"}
"""The history tells of both, the list of removed things is empty again, and the search follows."""


def stored(*, but=frozenset(), versions=True):
    """Return every row of every table as text."""
    found = {}
    for table in kept_tables():
        if table._meta.model_name in but:
            continue
        rows = list(lines(table))
        if not versions:
            rows = [re.sub(rb'"version":\d+,?', b"", row) for row in rows]
        found[table._meta.model_name] = rows
    return found, sorted(kept_clocks())


@pytest.fixture
def rows(rows):
    Removed.objects.all().delete()
    return rows


@pytest.fixture
def path_of(path_of, visit):
    def path(name):
        if name == "issue-paper":
            return f"/visits/{visit.number}/papers/care-card/issue/"
        if name in ("remove-item", "remove-batch"):
            spare = Item.objects.create(name="spare reamer")
            if name == "remove-item":
                return f"/drawer/{spare.pk}/remove/"
            batch = Batch.objects.create(item=spare, received_on=DAY, quantity=2)
            return f"/batches/{batch.pk}/remove/"
        return path_of(name)

    return path


@pytest.fixture
def ready(rows, visit, data):
    """Bring the filled workshop to where an act can be done."""

    def proposal(state):
        sent_on = DAY if state == "sent" else None
        Proposal.objects.update(state=state, answered_on=None, sent_on=sent_on)

    def put_back():
        moment = timezone.now()
        Reading.objects.update(heard_at=moment)
        figures = {"rate_s_per_day": -3.5}
        Earlier.objects.update(heard_at=moment, figures=figures, fate="heard")
        rows["Rehearing"].__class__.objects.update(ended_at=moment)

    def consent():
        Visit.objects.update(show_agreed_on=DAY, show_agreed_how="by letter")

    def logo():
        (data / "files" / "logo").mkdir()
        (data / "files" / "logo" / "a.png").write_bytes(b"picture")
        shop = the_workshop()
        shop.logo = "a.png"
        shop.save()

    def clock():
        fast = Measured(3.25, 0.5)
        keep_clock(SampleClock(fast_ppm=fast, checked=True, name="desk", date="2026-03-05"))

    def old():
        Removed.objects.create(kind="finding", what="finding: old", held="{}")
        Removed.objects.update(at=timezone.now() - timedelta(days=31))

    wanted = {
        "send-proposal": lambda: proposal("draft"),
        "remove-option": lambda: proposal("draft"),
        "answer-proposal": lambda: proposal("sent"),
        "jewels": lambda: Outwork.objects.update(order=None),
        "put-run-back": put_back,
        "put-reading-back": put_back,
        "withdraw-consent": consent,
        "remove-logo": logo,
        "forget-clock": clock,
        "throw-old-away": old,
        "erase-owner": lambda: Visit.objects.update(step=Step.GONE_HOME),
    }
    return lambda name: wanted.get(name, lambda: None)()


def sent_to(name):
    more = {"wish": [Outwork.objects.get().pk]} if name == "jewels" else {}
    if name == "answer-proposal":
        read = version_with_options(Proposal.objects.get())
        more = {"chosen": [Option.objects.get().pk], "seen": read}
    return {**ASKS[name], **more}


@pytest.fixture
def browser(owner_of_workshop):
    """Somebody who answers nothing by themselves."""
    client = Client()
    client.force_login(owner_of_workshop)
    return client


def test_of_each_address_it_is_said_whether_it_asks():
    freely = {name for names in FREELY.values() for name in names.split()}
    assert sorted(set(ALL) - freely - set(ASKS)) == []
    assert sorted((freely | set(ASKS)) - set(ALL)) == []
    assert freely & set(ASKS) == set()


def test_each_asks_once_and_does_nothing_before_the_answer(browser, path_of, ready):
    for name in ASKS:
        with undone_after():
            ready(name)
            path, data = path_of(name), sent_to(name)
            before = stored()
            browser.get(path).close()
            answer = browser.post(path, data)
            question = question_of(answer)
            assert (answer.status_code, bool(question)) == (200, True), name
            wrong = browser.post(path, {**data, "sure": "0" * 64})
            assert question_of(wrong).mark == question.mark, name
            assert "read it once more" in wrong.content.decode()
            assert stored() == before, name
            assert browser.post(path, {**data, "sure": question.mark}).status_code == 302, name
            assert stored() != before, name


def test_whatever_was_removed_comes_back_byte_for_byte(client, path_of, ready):
    for name in REMOVALS:
        with undone_after():
            ready(name)
            path = path_of(name)
            before = stored(but=LEFT_ALONE, versions=False)
            assert client.post(path, sent_to(name)).status_code == 302, name
            assert stored(but=LEFT_ALONE, versions=False) != before, name
            back = f"/removed/{Removed.objects.get().pk}/take-back/"
            assert client.post(back).status_code == 302, name
            assert stored(but=LEFT_ALONE, versions=False) == before, name
            assert not Removed.objects.exists(), name


def test_a_record_comes_back_with_its_version_too(client, path_of, rows):
    path = path_of("remove-finding")
    type(rows["Finding"]).objects.update(version=7)
    before = stored(but=LEFT_ALONE)
    client.post(path, {"seen": "7"})
    client.post(f"/removed/{Removed.objects.get().pk}/take-back/")
    assert stored(but=LEFT_ALONE) == before


def test_nothing_else_loses_a_row(browser, path_of, rows):
    """Whatever takes a row away without asking is found here, whatever it is called."""
    shown = "only shown, or nothing is kept of it"
    freely = " ".join(names for kind, names in FREELY.items() if kind != shown).split()
    counted = {table: table._base_manager.count() for table in kept_tables()}
    lost = []
    for name in sorted(set(freely) - {"take-back", "rehear-all", "rehear-watch", "rehear-visit"}):
        with undone_after():
            browser.post(path_of(name)).close()
            lost += [
                (name, table._meta.model_name)
                for table, count in counted.items()
                if table._base_manager.count() < count
            ]
    assert lost == []


TEMPLATES = sorted(files("sideshake.web").glob("*/templates/**/*.html"))


def forms():
    for path in TEMPLATES:
        for form in re.findall(r"<form.*?</form>", path.read_text("utf-8"), re.DOTALL):
            yield path.name, form


def test_the_key_that_saves_elsewhere_does_nothing_that_cannot_be_undone():
    wrong = [
        (page, name)
        for page, form in forms()
        for name in ASKS
        if (f"url '{name}'" in form[:160] or page in ("invoice_new.html", "outwork_jewels.html"))
        and 'data-key="s"' in form
    ]
    assert wrong == []
    assert any("url 'send-proposal'" in form for _page, form in forms())


def test_yes_and_no_have_keys_of_their_own_on_the_page_that_asks(browser, path_of):
    page = browser.post(path_of("remove-finding"), SEEN).content.decode()
    keys = re.findall(r'<main.*data-key="(.)".*data-key="(.)"', page, re.DOTALL)
    assert keys == [("y", "n")]


def test_an_invoice_is_asked_about_by_number_sum_and_name(browser, path_of):
    page = browser.post(path_of("new-invoice"), INVOICE).content.decode()
    assert "Issue invoice INV-2026-002 over €240.00 to Ottilie Marwood?" in page
    assert "It is due on 14 Dec 2026." in page
    assert "does not change after that; only another invoice can cancel it." in page


def test_another_number_meanwhile_is_asked_about_anew(browser, path_of, rows):
    path = path_of("new-invoice")
    first = question_of(browser.post(path, INVOICE))
    other = type(rows["Invoice"])
    other.objects.filter(pk=rows["Invoice"].pk).update(number="INV-2026-041")
    again = browser.post(path, {**INVOICE, "sure": first.mark})
    assert "INV-2026-042" in question_of(again).title
    assert other.objects.count() == 1


def test_no_brings_back_what_was_typed(browser, path_of, rows):
    path = path_of("new-invoice")
    question = question_of(browser.post(path, INVOICE))
    answer = browser.post(path, {**INVOICE, "sure": question.mark, "stay": "1"})
    assert answer.status_code == 200
    assert 'value="overhaul"' in answer.content.decode()
    assert type(rows["Invoice"]).objects.count() == 1


def test_what_would_be_refused_is_not_asked(browser, path_of):
    answer = browser.post(path_of("receive-order"), {"on": "2020-01-01"})
    assert answer.status_code == 422
    assert question_of(answer) is None


def test_the_page_after_a_removal_has_the_way_back(client, path_of):
    path = path_of("remove-finding")
    page = client.post(path, SEEN, follow=True).content.decode()
    assert "Removed: finding" in page
    assert f'action="/removed/{Removed.objects.get().pk}/take-back/"' in page


def test_an_apprentice_takes_back_no_price(client, apprentice_client, path_of, visit):
    client.post(path_of("remove-payment"), SEEN)
    key = Removed.objects.get().pk
    assert "payment" not in apprentice_client.get("/removed/").content.decode().lower()
    assert apprentice_client.post(f"/removed/{key}/take-back/").status_code == 404
    assert "100" in client.get(f"/removed/?visit={visit.number}").content.decode()


def test_what_was_written_anew_meanwhile_is_not_doubled(client, path_of, rows, visit):
    client.post(path_of("remove-step"), SEEN)
    type(rows["PlanStep"]).objects.create(visit=visit, key="open-case", place=1, title="Opened")
    answer = client.post(f"/removed/{Removed.objects.get().pk}/take-back/")
    assert answer.status_code == 422
    assert "written anew meanwhile" in answer.content.decode()


def test_what_belongs_to_something_removed_comes_back_after_it(client, path_of, rows):
    batch = path_of("remove-batch")
    item = Batch.objects.latest("pk").item_id
    client.post(batch, SEEN)
    client.post(f"/drawer/{item}/remove/", SEEN)
    first, second = Removed.objects.order_by("pk")
    answer = client.post(f"/removed/{first.pk}/take-back/")
    assert "take that back first" in answer.content.decode()
    for each in (second, first):
        assert client.post(f"/removed/{each.pk}/take-back/").status_code == 302
    assert Batch.objects.filter(item=item).exists()


def test_an_option_does_not_come_back_into_a_proposal_that_was_sent(client, path_of, ready):
    ready("remove-option")
    client.post(path_of("remove-option"), SEEN)
    Proposal.objects.update(state="sent")
    assert client.post(f"/removed/{Removed.objects.get().pk}/take-back/").status_code == 422
    assert not Option.objects.exists()


def test_a_key_that_another_row_has_meanwhile_is_no_loss(client, path_of, rows, visit):
    """As after a backup was brought back, when the highest key was a removed one."""
    client.post(path_of("remove-finding"), SEEN)
    finding = type(rows["Finding"])
    finding.objects.create(pk=rows["Finding"].pk, visit=visit, title="another")
    client.post(f"/removed/{Removed.objects.get().pk}/take-back/")
    assert sorted(finding.objects.values_list("title", flat=True)) == ["another", "oil dried"]


def test_a_removed_photograph_keeps_its_file_until_it_is_thrown_away(client, path_of, data, ready):
    client.post(path_of("remove-photograph"), SEEN)
    kept = data / "files" / "photographs" / "a.jpg"
    assert put_strays_aside(before_s=timezone.now().timestamp() + 60).count == 0
    assert kept.exists()
    assert throw_away(timezone.now()).count == 0
    assert client.post("/removed/throw-away/").status_code == 422
    Removed.objects.update(at=timezone.now() - timedelta(days=30, seconds=5))
    page = client.get("/removed/").content.decode()
    assert "more than 30 days ago: one thing" in " ".join(page.split())
    told = client.post("/removed/throw-away/", follow=True).content.decode()
    assert "One removed thing was thrown away for good" in told
    assert not Removed.objects.exists()
    assert not Photograph.objects.exists()


def test_files_go_only_when_nothing_needs_them(
    client, path_of, data, rows, visit, django_capture_on_commit_callbacks
):
    """Counter-case: the same picture at another visit keeps the file."""
    kept = data / "files" / "photographs" / "a.jpg"
    spare = Photograph.objects.create(
        visit=visit, stored="a.jpg", sha256="a", format="JPEG", bytes=9, width_px=40, height_px=30
    )
    client.post(path_of("remove-photograph"), SEEN)
    Removed.objects.update(at=timezone.now() - timedelta(days=31))
    with django_capture_on_commit_callbacks(execute=True):
        throw_away(timezone.now())
    assert kept.exists()
    client.post(f"/photographs/{spare.pk}/remove/", SEEN)
    Removed.objects.update(at=timezone.now() - timedelta(days=31))
    with django_capture_on_commit_callbacks(execute=True):
        assert throw_away(timezone.now()).size_bytes == kept.stat().st_size
    assert not kept.exists()


def test_only_the_owner_of_the_workshop_throws_away(colleague_client, path_of, ready):
    ready("throw-old-away")
    assert colleague_client.post("/removed/throw-away/").status_code == 403
    assert Removed.objects.exists()


def test_what_is_put_aside_is_json_that_any_program_reads(client, path_of):
    client.post(path_of("remove-finding"), SEEN)
    held = json.loads(Removed.objects.get().held)
    assert held["rows"][0]["row"]["title"] == "oil dried"
