"""A whole visit out of its script."""

from dataclasses import dataclass, replace
from datetime import date, timedelta
from random import Random

from sideshake.core.quantities import Measured
from sideshake.demo.bench_plan import BenchNotes, plan_of
from sideshake.demo.days import Days, days_of
from sideshake.demo.looked_over import answers_of
from sideshake.demo.mechanism import calibre_of
from sideshake.demo.prices import OUTWORK_SHARE, invoices_of, payments_of, proposals_of, rounded
from sideshake.demo.readings import readings_of
from sideshake.demo.script import VisitScript
from sideshake.demo.shapes import Watch, Workshop
from sideshake.demo.visit import Measurement, Outwork, Photograph, Picture, Used, Visit

CARRIERS = ("Moorland Parcels", "Kestrel Carriers", "registered post")
UNNUMBERED = ""
BY_HAND, FETCHED = "by hand", "fetched here"
LATE_SHARE = 0.5
"""Of the visits not ready those whose day is not put off with the owner."""
USUAL_PACKING = "Watch held still in foam, inner box, wood wool, outer box; plain label."
DAYS_A_MONTH = 30.44
CAPTIONS: dict[Picture, str] = {
    "dial": "As it came, dial up",
    "movement": "Movement, as found",
    "case-back": "The back",
    "parcel": "The parcel, as it came",
    "oval-hole": "The hole in the barrel bridge",
    "broken-tooth": "The corrector wheel",
    "rotor-arc": "Arc of the rotor in the case back",
    "scratches": "Scratches of an earlier hand",
    "rust": "Rust",
    "burn-marks": "Shadows under the hands",
}
WORN_SIZES_FROM = "above.hole_long_mm"
NEW_HOLE_MM = (0.921, 0.003)
"""The barrel's new jewel: hole 0.92 mm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """What all visits share: today, the workshop, and the wordings of notes."""

    today: date
    workshop: Workshop
    words: BenchNotes


def visit_of(script: VisitScript, watch: Watch, setting: Setting, random: Random) -> Visit:
    """Return the visit told by the script, not yet numbered."""
    days, calibre = days_of(script, setting.today, random), calibre_of(watch.calibre)
    looked = days.reached("looked-over")
    bare = Visit(
        key=script.key,
        number=UNNUMBERED,
        watch=script.watch,
        step=script.step,
        step_since=days.on(script.step),
        arrived_on=days.arrived,
        promised_on=promised(script, days, setting.today),
        complaint=script.complaint,
        runs=script.runs,
        polish=script.polish,
        keep=script.keep,
        accessories=script.accessories,
        budget_limit=script.budget_limit,
        declared_value=script.declared_value,
        insured_here=bool(script.declared_value),
        declined_why=script.declined_why.strip(),
        note=script.note,
        look_over=answers_of(script, watch) if looked else (),
        findings=script.findings if looked else (),
        measurements=measurements_of(script, days) if looked else (),
        readings=readings_of(script, days, calibre=calibre, random=random),
        photographs=photographs_of(script, days),
        proposals=proposals_of(script, days, setting.workshop),
        plan=plan_of(script, days, calibre=calibre, words=setting.words, random=random),
        used=used_of(script, days),
        outwork=outwork_of(script, days),
        invoices=invoices_of(script, days, setting.workshop),
        payments=payments_of(script, days, setting.workshop),
    )
    travelled = with_travels(bare, script, days, random)
    return with_afterwards(travelled, script, days, setting.workshop)


def promised(script: VisitScript, days: Days, today: date) -> date | None:
    """Return the day promised, once the owner agreed; of the open visits a few are late."""
    if not days.reached("agreed") or script.step == "declined":
        return None
    first = days.on("agreed", later=7 * script.weeks)
    random = Random(f"{script.key} promised")
    kept = days.reached("ready") or random.random() < LATE_SHARE
    later = today + timedelta(days=random.randint(3, 24))
    return first if kept else max(first, later)


def with_travels(visit: Visit, script: VisitScript, days: Days, random: Random) -> Visit:
    """Return the visit with how the watch came and, if it did, how it went."""
    carrier = random.choice(CARRIERS) if script.carrier else BY_HAND
    code = f"{carrier[0].upper()}{random.randint(10**7, 10**8 - 1)}" if script.carrier else ""
    came = replace(
        visit, carrier_in=carrier, tracking_in=code, parcel_seen=script.parcel_seen.strip()
    )
    if not (days.reached("gone-home") or script.step == "declined"):
        return came
    gone = replace(came, gone_home_on=days.on(script.step), carrier_out=FETCHED)
    if not script.carrier:
        return gone
    return replace(
        gone,
        carrier_out=carrier,
        tracking_out=f"{code}-R",
        insured_out=script.declared_value,
        packed=script.packed or USUAL_PACKING,
    )


def with_afterwards(visit: Visit, script: VisitScript, days: Days, workshop: Workshop) -> Visit:
    """Return the visit with advice once it is ready, and warranty from the day it goes home."""
    if not (days.reached("ready") or script.step == "declined"):
        return visit
    advised = replace(visit, advice=script.advice)
    if not days.reached("gone-home"):
        return advised
    home = days.on("gone-home")
    return replace(
        advised,
        show_agreed_on=home if script.shown_how else None,
        show_agreed_how=script.shown_how,
        warranty_until=months_later(home, workshop.warranty_months) if script.is_touched else None,
        next_service_on=months_later(home, workshop.service_months) if script.is_whole else None,
    )


def months_later(day: date, months: int) -> date:
    """Return the day so many months later, to the day or nearly."""
    return day + timedelta(days=round(months * DAYS_A_MONTH))


def measurements_of(script: VisitScript, days: Days) -> tuple[Measurement, ...]:
    """Return the sizes as measured; the new hole too if it was made."""
    found = tuple(size(key, told) for key, told in script.measured.items())
    if WORN_SIZES_FROM in script.measured and days.reached("on-test"):
        value, u = NEW_HOLE_MM
        found += (Measurement(key="above.hole_mm", value=value, u=u, after=True),)
    return found


def size(key: str, told: str | float) -> Measurement:
    """Return one size: a number, "0.92+-0.006", or a word."""
    if isinstance(told, int | float):
        return Measurement(key=key, value=float(told))
    if "+-" not in told:
        return Measurement(key=key, word=told)
    measured = Measured.parse(told)
    return Measurement(key=key, value=measured.value, u=measured.u)


def photographs_of(script: VisitScript, days: Days) -> tuple[Photograph, ...]:
    """Return the photographs: parcel and dial at once, the inside and the close-ups later."""
    pictures: list[Picture] = ["parcel", "dial"]
    looked = days.reached("looked-over")
    if looked:
        pictures.append("case-back")
    if looked and script.opened:
        pictures.append("movement")
    told = script.photographs if looked else ()
    known = {each.picture for each in told}
    if looked:
        close_ups = dict.fromkeys(each.picture for each in script.findings if each.picture)
        pictures += [each for each in close_ups if each not in known]
    return (
        *(
            Photograph(
                picture=each, caption=CAPTIONS[each], taken_on=seen_on(each, days),
                opens_report=each == "dial",
            )
            for each in pictures
        ),
        *(
            Photograph(
                picture=each.picture, caption=each.caption, marks=each.marks,
                taken_on=days.on("looked-over"),
            )
            for each in told
        ),
    )  # fmt: skip


def seen_on(picture: str, days: Days) -> date:
    """Return the day a photograph was taken."""
    return days.arrived if picture in ("parcel", "dial") else days.on("looked-over")


def used_of(script: VisitScript, days: Days) -> tuple[Used, ...]:
    """Return what went into it out of the drawer: nothing while it still lies apart."""
    if not days.reached("on-test"):
        return ()
    return tuple(
        Used(batch=label, on=days.on("on-the-bench"), note=text)
        for each in script.last_options
        if each.chosen
        for label, text, _ in each.parts
    )


def outwork_of(script: VisitScript, days: Days) -> tuple[Outwork, ...]:
    """Return what went out to others."""
    if not days.reached("on-the-bench"):
        return ()
    sent = days.on("on-the-bench", later=1)
    if script.second:
        sent = days.arrived + timedelta(days=script.second.after_day + 3)
    back = sent + timedelta(days=19) if days.reached("on-test") else None
    return tuple(
        Outwork(
            to=to, what=text, sent_on=sent, due_on=sent + timedelta(days=21), back_on=back,
            cost=rounded(price * OUTWORK_SHARE),
        )
        for each in script.last_options
        if each.chosen
        for to, text, price in each.outwork
    )  # fmt: skip
