"""Twelve visits for the papers, made through the workshop's own pages and services.

Each step has one, and together they hold what papers stumble over: radium, a diver's watch, a
pocket watch, a name from right to left, one of 110 letters, 40 findings, 30 photographs; and every
kind of invoice. Everybody and everything here is invented.
"""

import io
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone
from heard_rounds import heard_round
from PIL import Image, ImageDraw

from sideshake.web.base.saving import save
from sideshake.web.models import (
    Invoice,
    JewelOrder,
    Outwork,
    PlanStep,
    Proposal,
    Step,
    Visit,
    the_workshop,
)
from sideshake.web.money.deposits import deposit_lines, lines_to_ask
from sideshake.web.money.line_forms import TOTAL, InvoiceLineForms, line_forms
from sideshake.web.money.services import Issuing, cancel, issue
from sideshake.web.money.untaxed import billed_rows
from sideshake.web.outwork.services import make_order
from sideshake.web.proposals.services import send
from sideshake.web.visits.services import move

LONG_NAME = (
    "Wilhelmina Theodora Ermentraud von und zu Quassenhagen-Lüderbruch-Ostermoor, "
    "Edle von Tannenried auf Heuchelhain"
)
RIGHT_TO_LEFT = "נעמי אלישבע כרמון"
BEFORE = {"CH": (-52, 206), "FH": (-48, 209), "3H": (-75, 178), "6H": (-40, 181),
          "9H": (-88, 175), "12H": (-60, 180)}  # fmt: skip
AFTER = {"CH": (4, 276), "FH": (5, 280), "3H": (7, 252), "6H": (3, 254), "9H": (1, 251),
         "12H": (2, 253)}  # fmt: skip
A_DAY_ON = {"CH": (6, 240), "FH": (7, 242), "3H": (2, 215), "6H": (1, 216), "9H": (-3, 212),
            "12H": (0, 217)}  # fmt: skip
PARTS = ("balance", "hairspring", "pallet fork", "escape wheel", "fourth wheel", "third wheel",
         "centre wheel", "barrel")  # fmt: skip
FAULTS = ("Pivot scratched", "Hole wide", "Old oil", "Screw slot torn", "Rust on an edge")


@dataclass(frozen=True)
class Story:
    """What is typed in when a watch comes."""

    key: str
    owner: dict[str, str]
    watch: dict[str, str]
    visit: dict[str, str]
    findings: tuple[tuple[str, str], ...] = ()
    photographs: int = 0
    cause: str = ""
    """The title of the finding that is the cause of what the owner told."""


STORIES = (
    Story("arrived", {"name": LONG_NAME, "address": "Am Alten Wehr 3\n00017 Heuchelhain",
                      "country": "Germany"},
          {"title": "Gold dress watch", "calibre": "corvanne-17", "lume": "none"},
          {"complaint": "It has lain in a drawer since 1971."}, photographs=2),
    Story("looked-over", {"name": "Benedikt Aumoser"},
          {"title": "Steel watch in forty pieces", "calibre": "corvanne-17", "lume": "none"},
          {"complaint": "Somebody took it apart."},
          findings=tuple((f"{fault}: {part}", "") for part in PARTS for fault in FAULTS),
          photographs=1),
    Story("proposed", {"name": "Rosalind Tewkes-Marrable",
                       "address": "2 Sallow Bank\nNether Orling", "country": "United Kingdom"},
          {"title": "Steel pilot's watch", "calibre": "corvanne-17", "lume": "dead",
           "burn_marks": "on", "year_from": "1941", "year_to": "1945"},
          {"complaint": "Please make the hands glow again.", "budget_limit": "300"},
          findings=(("Luminous paint old and cracked", "brown, two shadows on the dial"),),
          photographs=3),
    Story("agreed", {"name": RIGHT_TO_LEFT, "address": "רחוב הזית 7\nגבעת־לוזים", "country": "IL"},
          {"title": "Square steel watch", "calibre": "corvanne-17", "lume": "none",
           "story": "השעון של סבתא; he stopped on a Friday."},
          {"complaint": "נעצר בלילה"}, photographs=2),
    Story("on-the-bench", {"name": "Cornelis Hagedoorn-Prill", "country": "Netherlands"},
          {"title": "Silver pocket watch, hunter", "calibre": "wendelmoor-43", "lume": "none",
           "movement_serial": "771 204"},
          {"complaint": "Loses ten minutes a day.", "runs": "true"},
          findings=(("Mainspring set", "free diameter 24 mm"),), photographs=2,
          cause="Mainspring set"),
    Story("on-test", {"name": "Solveig Bratthammar", "country": "Norway"},
          {"title": "Steel diver's watch", "calibre": "lindquell-25", "lume": "glows",
           "t_mark": "on", "dial_name": "HALVORSUND 300 FEET"},
          {"complaint": "Is it still tight?"}, photographs=2),
    Story("ready", {"name": "Ignatius Pomfrey-Dell"},
          {"title": "Steel watch, thirty photographs", "calibre": "corvanne-17", "lume": "none"},
          {"complaint": "Please show me everything."},
          findings=tuple((f"Stain {number + 1} on the dial", "") for number in range(30)),
          photographs=30),
    Story("gone-home", {"name": "Ottoline Craske", "address": "8 Ropewalk\nEast Tarrow",
                        "country": "United Kingdom"},
          {"title": "Steel chronograph, two counters", "calibre": "tarnbrook-31", "lume": "none",
           "story": "My aunt timed sledges with it.\nIt never lost."},
          {"complaint": "Stops in the night."},
          findings=(("Bridge hole gone oval", "1.012 by 0.936 mm"),), photographs=3,
          cause="Bridge hole gone oval"),
    Story("declined", {"name": "Torvald Quennemund", "country": "Denmark"},
          {"title": "Nickel pocket watch", "lume": "none"},
          {"complaint": "What would it cost?"},
          findings=(("Case worn through at the hinge", ""),)),
    Story("deposits", {"name": "Marit Ellingboe-Straand", "address": "Havnegata 2\nYtre Lomvik",
                       "country": "NO"},
          {"title": "Steel automatic with date", "calibre": "lindquell-25", "lume": "none"},
          {"complaint": "The date sticks."}),
    Story("export", {"name": "Brackwater Time Trading Inc.",
                     "address": "77 Cottonmill Road\nElmfork", "country": "US"},
          {"title": "Gold chronograph", "calibre": "quenholt-29", "lume": "none"},
          {"complaint": "Hand resets to the wrong place."}),
    Story("reverse-charge", {"name": "Uurwerken Pallemans bv", "address": "Zoutkaai 4\nWesterdijke",
                             "country": "NL", "tax_number": "NL000099998B57"},
          {"title": "Steel watch for resale", "calibre": "corvanne-17", "lume": "none"},
          {"complaint": "Overhaul, please."}),
)  # fmt: skip


def twelve_visits(client, by, sizes: dict[str, str]) -> dict[str, Visit]:
    """Return the twelve visits by the key of their story.

    `client` is the browser of the owner of the workshop, `by` that person, `sizes` the leaning
    barrel's as they are typed in.
    """
    shop(client)
    by.first_name, by.last_name = "Edda", "Hollowell"
    by.save()
    made = {story.key: taken_in(client, story) for story in STORIES}
    for key in ("looked-over", "declined"):
        findings_step(made[key], by)
    for key in ("proposed", "on-the-bench", "on-test", "ready", "gone-home", "agreed", "deposits",
                "export", "reverse-charge"):  # fmt: skip
        measured = sizes if key == "gone-home" else None
        proposed(client, made[key], by, sizes=measured, agreed=key != "proposed")
    declined(made["declined"], by)
    for key in ("on-the-bench", "on-test", "ready", "gone-home"):
        worked(client, made[key], by, only=6 if key == "on-the-bench" else None)
    for key in ("on-test", "ready", "gone-home"):
        proved(client, made[key], by, pressure=key == "on-test")
    finished(client, made, by)
    billed(client, made, by)
    return {key: fresh(visit) for key, visit in made.items()}


def fresh(visit: Visit) -> Visit:
    """Return a visit as it is stored now."""
    return Visit.objects.select_related("watch__owner").get(pk=visit.pk)


def shop(client) -> None:
    """Set the workshop up by hand: a head, a tax, a bank."""
    row = the_workshop()
    told: dict[str, Any] = {
        "name": "Hollowell & Niece", "address": "The Net Store\n3 Capstan Row\nPorth Averil",
        "country": "GB", "phone": "01632 960388", "email": "bench@hollowell.example.org",
        "tax_number": "XV 000 7716 20", "bank": "Porth Averil Bank, account 0000 2291",
        "tax_percent": "20", "hourly_rate": "72", "currency": "GBP",
        "tax_wording": "",
    }  # fmt: skip
    for name, value in told.items():
        setattr(row, name, value)
    row.save()


def post(client, path: str, data: dict[str, Any], **more: Any):
    """Return the answer to a form, which must be taken."""
    answer = client.post(path, data, **more)
    assert answer.status_code in (200, 302), (path, answer.status_code, told_wrong(answer))
    return answer


def told_wrong(answer) -> str:
    """Return what a refused form says."""
    text = answer.content.decode()
    return " ".join(part[:200] for part in text.split('class="error')[1:]) or text[-600:]


def taken_in(client, story: Story) -> Visit:
    """Return a visit that came by the form of a new visit, with its findings and photographs."""
    typed = {f"owner-{name}": value for name, value in story.owner.items()}
    typed["owner-prefers"] = "email"
    typed |= {f"watch-{name}": value for name, value in story.watch.items()}
    typed |= {f"visit-{name}": value for name, value in story.visit.items()}
    typed |= {"visit-arrived_on": str(timezone.localdate() - timedelta(days=40))}
    typed.setdefault("visit-runs", "unknown")
    answer = post(client, "/visits/new/", typed)
    visit = Visit.objects.get(number=answer.url.split("/")[2])
    for title, detail in story.findings:
        typed = {"title": title, "detail": detail, "severity": "worn"}
        cause = {"is_cause": "on"} if story.cause == title else {}
        post(client, f"/visits/{visit.number}/findings/new/", typed | cause)
    if story.photographs:
        shots = [photograph(story.key, number) for number in range(story.photographs)]
        path = f"/visits/{visit.number}/photographs/add/"
        post(client, path, {"photographs": shots})
    for number, shot in enumerate(visit.photographs.all(), start=1):
        path = f"/photographs/{shot.pk}/caption/"
        post(client, path, {"caption": f"photograph {number}", "seen": shot.version})
    for finding, shot in zip(visit.findings.all(), visit.photographs.all(), strict=False):
        typed = {"title": finding.title, "detail": finding.detail, "severity": "worn",
                 "photograph": shot.pk, "seen": finding.version}  # fmt: skip
        typed |= {"is_cause": "on"} if finding.is_cause else {}
        post(client, f"/findings/{finding.pk}/", typed)
    return visit


def photograph(key: str, number: int) -> SimpleUploadedFile:
    """Return a small picture of a dial, no two alike, as a camera hands it over."""
    tall = number % 4 == 3
    picture = Image.new("RGB", (300, 400) if tall else (400, 300), (170 + number, 160, 130))
    draw = ImageDraw.Draw(picture)
    draw.ellipse((60, 30, 260, 230), fill="#f2ead3", outline="#222", width=4)
    draw.line((160, 130, 160 + 3 * number, 60), fill="#222", width=5)
    draw.text((8, 8), f"{key} {number + 1}", fill="#222")
    made = io.BytesIO()
    picture.save(made, "JPEG")
    return SimpleUploadedFile(f"{number}.jpg", made.getvalue(), content_type="image/jpeg")


def findings_step(visit: Visit, by) -> None:
    """Bring a visit to looked over."""
    move(fresh(visit), Step.LOOKED_OVER, by, on=timezone.localdate())


def declined(visit: Visit, by) -> None:
    """Bring a visit to declined, with the reason."""
    found = fresh(visit)
    found.declined_why = "It would cost more than the watch is worth to her."
    save(found, by)
    move(found, Step.DECLINED, by, on=timezone.localdate())


def proposed(client, visit: Visit, by, *, sizes: dict[str, str] | None, agreed: bool) -> None:
    """Draft, send and (when the owner agrees) answer the proposal of a visit."""
    if sizes:
        post(client, f"/visits/{visit.number}/measure/", sizes)
    else:
        typed = {"key": "oil-dried", "keys": ["oil-dried"]}
        client.post(f"/visits/{visit.number}/findings/usual/", typed)
    post(client, f"/visits/{visit.number}/proposal/begin/", {})
    found = Proposal.objects.get(visit=visit)
    path = f"/visits/{visit.number}/proposal/1/"
    send(found, by, on=timezone.localdate(), free=True)
    if agreed:
        taken = {option.instead_of for option in found.options.all() if option.instead_of}
        chosen = [o.pk for o in found.options.all() if not o.instead_of or o.key in taken]
        typed = {"answered_on": str(timezone.localdate()), "channel": "email", "chosen": chosen,
                 "answer": "Yes, please."}  # fmt: skip
        post(client, f"{path}answer/", typed)


def worked(client, visit: Visit, by, *, only: int | None) -> None:
    """Make the plan and tick its steps; all of them when `only` is not given."""
    if visit.watch.t_mark:
        post(client, f"/visits/{visit.number}/plan/make/", {"begin": "1", "pressure_test": "on"})
    else:
        post(client, f"/visits/{visit.number}/plan/make/", {"begin": "1"})
    for step in list(fresh(visit).plan.filter(kind=PlanStep.Kind.WORK))[:only]:
        post(client, f"/plan/{step.pk}/done/", {"seen": step.version})


def proved(client, visit: Visit, by, *, pressure: bool) -> None:
    """Write down readings before and after, and the tests; the pressure test is not good."""
    heard_round(visit, by, BEFORE)
    heard_round(visit, by, AFTER, after=True)
    heard_round(visit, by, A_DAY_ON, after=True, wound="24h")
    post(client, f"/visits/{visit.number}/tests/make/", {"begin": "1"})
    known = {"test-rate-full": ("3.7", "0.5"), "test-rate-24h": ("2.2", "0.5"),
             "test-reserve": ("46.2", "0.3"), "test-pressure": ("1.0", "0.1")}  # fmt: skip
    for test in fresh(visit).plan.filter(kind=PlanStep.Kind.TEST):
        typed = {"result": "good", "seen": test.version}
        if test.key in known:
            typed |= dict(zip(("value", "u"), known[test.key], strict=True))
        elif test.unit:
            typed |= {"result": "skip", "note": "no instrument here"}
        if test.key == "test-pressure":
            typed |= {"result": "bad", "note": "bubbles at the crown"}
        post(client, f"/tests/{test.pk}/", typed)


def finished(client, made: dict[str, Visit], by) -> None:
    """Bring those that are done to ready and home, and order a jewel by hand for the bench."""
    day = timezone.localdate()
    for key in ("ready", "gone-home"):
        move(fresh(made[key]), Step.READY, by, on=day)
    move(fresh(made["gone-home"]), Step.GONE_HOME, by, on=day)
    path = f"/visits/{made['on-the-bench'].number}/outwork/new/?jewel"
    typed = {"what": "Jewel for the third wheel, in the bridge", "jewel": "on", "hole_mm": "0.36",
             "outside_mm": "2.10", "thickness_mm": "0.40", "material": "ruby", "colour": "red",
             "bore": "olive", "sink": "on", "quantity": "2"}  # fmt: skip
    post(client, path, typed)
    order = JewelOrder(number="J-1", to="Steinwinkel & Ahn", ordered_on=day, ask="Edda Hollowell",
                       wanted_on=day + timedelta(days=30))  # fmt: skip
    make_order(order, [Outwork.objects.get().pk], by)


def billed(client, made: dict[str, Visit], by) -> None:
    """Issue every kind of invoice: plain, deposit and rest, cancelled, and each without tax."""
    words = f"{the_workshop().withdrawal_words}\n\n{the_workshop().guarantee_words}"
    ask(made["gone-home"], by, rights=words)
    pay(client, made["gone-home"], "100")
    ask(made["deposits"], by, kind="deposit")
    pay(client, made["deposits"], "50")
    ask(made["deposits"], by)
    ask(made["export"], by, no_tax="export")
    ask(made["reverse-charge"], by, no_tax="reverse-charge")
    cancel(ask(made["ready"], by, no_tax="small-business"), by, on=timezone.localdate())
    ask(made["ready"], by, no_tax="second-hand")


def ask(visit: Visit, by, *, no_tax: str = "", kind: str = "work", rights: str = "") -> Invoice:
    """Return the invoice issued for what is agreed; with a reason for no tax, without tax."""
    rows = deposit_lines(visit) if kind == "deposit" else lines_to_ask(visit)
    if no_tax:
        rows = untaxed_rows(visit, rows, no_tax)
    day = timezone.localdate()
    supplied = day if kind == "work" else None
    asked = Issuing(lines=rows, on=day, kind=kind, supplied_on=supplied, rights=rights)
    return issue(visit, asked, by)


def untaxed_rows(visit: Visit, rows: list[dict[str, Any]], no_tax: str) -> list[dict[str, Any]]:
    """Return lines whose tax is taken out in the form of the page: at what the page then asks."""
    untaxed = [{**row, "tax_percent": "0", "no_tax": no_tax} for row in rows]
    typed = {f"lines-{place}-{name}": value for place, row in enumerate(untaxed)
             for name, value in row.items()}  # fmt: skip
    typed |= {TOTAL: str(len(rows)), "lines-INITIAL_FORMS": str(len(rows))}
    lines = line_forms(typed, rows, forms_of=InvoiceLineForms)
    assert lines.is_valid(), lines.errors
    return billed_rows(visit, lines, no_tax)[0]


def pay(client, visit: Visit, amount: str) -> None:
    """Write down a payment for the newest invoice."""
    typed = {"amount": amount, "on": str(date.today()), "how": "bank",
             "invoice": visit.invoices.last().pk}  # fmt: skip
    post(client, f"/visits/{visit.number}/payments/new/", typed)
