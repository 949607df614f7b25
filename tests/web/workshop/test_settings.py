"""The workshop's paper, logo and wording: set on one page, printed on every paper."""

import io
from datetime import date

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image
from pypdf import PdfReader

from sideshake.web.base.saving import save
from sideshake.web.models import Change, Invoice, Option, Proposal, Removed, Workshop, the_workshop
from sideshake.web.storage.backup import write_backup
from sideshake.web.storage.restore import clear, restore

LINES = [{"kind": "work", "text": "A jewel", "quantity": "1", "each": "238.00",
          "tax_percent": "19"}]  # fmt: skip
PAPERS = (
    "/visits/2026-001/papers/report.pdf",
    "/visits/2026-001/papers/proposal/1.pdf",
    "/invoices/INV-2026-001/invoice.pdf",
    "/visits/2026-001/papers/labels.pdf",
)


def logo(kind="PNG", **options) -> SimpleUploadedFile:
    stream = io.BytesIO()
    Image.new("RGBA" if kind == "PNG" else "RGB", (600, 200), "#7a5515").save(stream, kind)
    name = options.get("name", f"our logo.{kind.lower()}")
    return SimpleUploadedFile(name, stream.getvalue(), content_type="image/png")


def put(browser, upload, **fields):
    given = {"logo": upload, "seen": the_workshop().version, **fields}
    return browser.post("/settings/logo/", given, follow=True)


@pytest.fixture
def priced(visit, colleague):
    the_workshop()
    proposal = Proposal(visit=visit, edition=1, currency="EUR", made_on=date(2026, 3, 3))
    save(proposal, colleague)
    save(Option(proposal=proposal, title="A jewel", lines=LINES), colleague)
    save(Invoice(visit=visit, number="INV-2026-001", issued_on=date(2026, 3, 30),
                 due_on=date(2026, 4, 13), currency="EUR", lines=LINES), colleague)  # fmt: skip
    return visit


def reader(browser, address) -> PdfReader:
    answer = browser.get(address)
    assert answer.status_code == 200, answer.content[:400]
    return PdfReader(io.BytesIO(answer.content))


def words(browser, address) -> str:
    return " ".join(" ".join(p.extract_text() for p in reader(browser, address).pages).split())


def settle(**values) -> None:
    row = Workshop.objects.get()
    for name, value in values.items():
        setattr(row, name, value)
    row.save()


@pytest.mark.parametrize("address", PAPERS)
@pytest.mark.parametrize(("paper", "size"), [("a4", (595.28, 841.89)), ("us-letter", (612, 792))])
def test_every_paper_has_the_size_that_is_set(client, priced, address, paper, size):
    # ISO 216: 210 by 297 mm; ANSI/ASME Y14.1: 8.5 by 11 inches, 72 points each
    settle(paper=paper)
    for page in reader(client, address).pages:
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(
            size, abs=0.1
        )


def test_the_workshops_own_words_stand_on_its_papers(client, priced):
    settle(
        report_words="We thank you #1.",
        proposal_words="Sign and send it back.",
        invoice_words="Goods stay ours until paid.",
        email="bench@example.org",
    )
    report, proposal, invoice = (words(client, each) for each in PAPERS[:3])
    assert "We thank you #1." in report
    assert "Sign and send it back." in proposal
    assert "Write or call" not in proposal
    assert "We begin when you have agreed" in proposal
    assert "Goods stay ours until paid." in invoice


def test_without_own_words_email_and_telephone_are_named(client, priced):
    settle(email="bench@example.org")
    assert "Write or call: bench@example.org" in words(client, PAPERS[1])


@pytest.mark.parametrize("kind", ["PNG", "JPEG"])
def test_a_logo_stands_on_papers_and_page_until_it_is_removed(client, priced, kind, data):
    assert "on all papers" in put(client, logo(kind)).content.decode()
    assert len(reader(client, PAPERS[0]).pages[0].images) == 1
    assert "data:image/png" in client.get("/visits/2026-001/papers/report.html").content.decode()
    assert client.get("/settings/logo.png").content.startswith(b"\x89PNG")
    seen = the_workshop().version
    client.post("/settings/logo/remove/", {"seen": seen})
    assert len(reader(client, PAPERS[0]).pages[0].images) == 0
    assert client.get("/settings/logo.png").status_code == 422
    assert len(list((data / "files" / "logo").iterdir())) == 1  # it can be taken back
    client.post(f"/removed/{Removed.objects.get().pk}/take-back/")
    assert client.get("/settings/logo.png").content.startswith(b"\x89PNG")


def test_the_history_tells_of_the_logo(client, owner_of_workshop):
    put(client, logo())
    change = Change.objects.filter(kind="workshop").first()
    assert (change.what, change.by) == ("new logo on all papers", owner_of_workshop)


def test_a_new_logo_takes_the_place_of_the_old_one(client, data):
    put(client, logo())
    put(client, logo("JPEG"))
    stored = {each.name for each in (data / "files" / "logo").iterdir()}
    assert len(stored) == 2
    before = Removed.objects.get()
    assert before.kind == "logo"
    assert client.post(f"/removed/{before.pk}/take-back/").status_code == 422
    assert the_workshop().logo in stored


@pytest.mark.parametrize(
    ("data_of", "said"),
    [
        (
            b'<svg xmlns="http://www.w3.org/2000/svg"><script/></svg>',
            "SVG drawing can carry script",
        ),
        (b"%PDF-1.7", "not a picture"),
        (b"\x89PNG\r\n\x1a\nnonsense", "damaged"),
    ],
)
def test_what_is_no_logo_is_refused_with_words(client, data_of, said, data):
    answer = put(client, SimpleUploadedFile("logo.png", data_of))
    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert the_workshop().logo == ""
    assert not (data / "files" / "logo").exists()


def test_no_picture_chosen_is_told(client):
    assert client.post("/settings/logo/").status_code == 422


def test_a_second_person_is_told_that_the_settings_were_changed(client):
    the_workshop()
    put(client, logo(), seen=Workshop.objects.get().version)
    assert put(client, logo("JPEG"), seen=1).status_code == 409


def test_only_the_owner_of_the_workshop_changes_the_logo(colleague_client, stranger):
    assert put(colleague_client, logo()).status_code == 403
    assert colleague_client.post("/settings/logo/remove/").status_code == 403
    assert stranger.get("/settings/logo.png").status_code == 302


def test_a_logo_whose_file_is_gone_leaves_the_name_alone(client, priced, data):
    put(client, logo())
    next((data / "files" / "logo").iterdir()).unlink()
    assert "The workshop" in words(client, PAPERS[0])


@pytest.mark.django_db(transaction=True)
def test_a_backup_holds_the_logo_and_brings_it_back(client, data):
    put(client, logo())
    name = the_workshop().logo
    kept = (data / "files" / "logo" / name).read_bytes()
    contents = write_backup(data / "all.zip")
    assert f"files/logo/{name}" in [each.name for each in contents.members]
    clear()
    (data / "files" / "logo" / name).unlink()
    restore(data / "all.zip")
    assert (data / "files" / "logo" / name).read_bytes() == kept
    assert Workshop.objects.get().logo == name


def save_settings(client, **typed):
    """Send the page of the settings as it stands, with what is typed."""
    fields = client.get("/settings/").context["form"]
    told = {each.name: each.value() for each in fields if each.value() not in (None, False)}
    return client.post("/settings/", {**told, **typed})


@pytest.mark.parametrize(("name", "typed", "kept"), [
    ("iban", "gb82 west 1234 5698 7654 32", "GB82WEST12345698765432"),
    ("iban", "", ""),
    ("bic", "westgb2l xxx", "WESTGB2LXXX"),
    ("tax_label", "USt-IdNr.", "USt-IdNr."),
    ("withdrawal_form", "on", True),
])  # fmt: skip
def test_account_name_of_the_tax_number_and_form_are_set(client, name, typed, kept):
    answer = save_settings(client, **{name: typed})
    assert answer.status_code == 302, answer.content
    assert getattr(Workshop.objects.get(), name) == kept
    shown = client.get("/settings/").context["form"]["iban"].value()
    assert shown == ("GB82 WEST 1234 5698 7654 32" if (name, typed != "") == ("iban", True) else "")


@pytest.mark.parametrize(("name", "typed", "told"), [
    ("iban", "GB83 WEST 1234 5698 7654 32", "its check digits do not fit"),
    ("iban", "account 4711", "its check digits do not fit"),
    ("bic", "WEST", "A BIC has 8 or 11 letters and digits."),
])  # fmt: skip
def test_a_wrong_account_is_refused_in_one_line(client, name, typed, told):
    answer = save_settings(client, **{name: typed})
    assert answer.status_code == 422
    assert told in answer.content.decode()
    assert getattr(Workshop.objects.get(), name) == ""
