"""Visits for the owner's report in every language: before any work, done, and with all there is.

What people wrote in them is in no language, so that a word of ours cannot hide behind one of them.
"""

from datetime import date, timedelta

import numpy as np
from django.utils import timezone
from heard_rounds import heard_round
from twelve_visits import AFTER, BEFORE, Story, fresh, post, proposed, shop, taken_in, worked

from sideshake.timing.turn.fold import WheelTurn
from sideshake.web.base.saving import save
from sideshake.web.models import (
    Batch,
    Finding,
    Item,
    Measurement,
    PlanStep,
    Reading,
    Step,
    Used,
    Visit,
)
from sideshake.web.readings.hearing import kept_turn
from sideshake.web.visits.services import move
from sideshake.workshop_rules.findings import USUAL

OWN_WORDS = """
Zmaldo Qvintel Sprexenoord Krondal sprex Brummo vlit Vrontig Krell krell Drissel Ploon nurgel
Hollowell hollowell Niece The Net Store Capstan Row Porth Averil bench example org Edda mm Tarnbrook
"""
"""All that somebody wrote in the records below, names and units."""
PHOTOGRAPHED = (
    "Oval by 0.076 ± 0.012 mm: 1.012 ± 0.008 mm long and 0.936 ± 0.008 mm across, the long axis at "
    "95 ± 4° (from 3 o'clock, counter-clockwise, seen from the bridge)."
)


def taken(client, by, **watch: str) -> Visit:
    """Return a visit that came, with two photographs."""
    by.first_name, by.last_name = "Edda", "Hollowell"
    by.save()
    shop(client)
    told = {"title": "Krondal sprex", "calibre": "tarnbrook-31", "lume": "none",
            "story": "Brummo vlit.", "case_seen": "Vrontig", "dial_seen": "Krell",
            "dial_name": "Qvintel", "case_serial": "771", "movement_serial": "772",
            **watch}  # fmt: skip
    return taken_in(client, Story("whole", {"name": "Zmaldo Sprexenoord"}, told,
                                  {"complaint": "Brummo vlit krell."}, photographs=2))  # fmt: skip


def looked_over(client, by) -> Visit:
    """Return a visit before any work: found and heard, with radium paint."""
    visit = taken(client, by, lume="dead", burn_marks="on", year_from="1941", year_to="1945")
    found(visit, by, "oil-dried", "Vrontig krell", is_cause=True)
    found(visit, by, "amplitude-low", "")
    heard_round(visit, by, BEFORE)
    move(fresh(visit), Step.LOOKED_OVER, by, on=timezone.localdate())
    return fresh(visit)


def found(visit: Visit, by, key: str, detail: str, **more) -> None:
    """Store a usual finding, with the program's own title."""
    title = next(each.title for each in USUAL if each.key == key)
    save(Finding(visit=visit, key=key, title=title, detail=detail, severity="worn", **more), by)


def done(client, by) -> Visit:
    """Return a visit whose work is done, of a pocket watch, with readings before and after."""
    visit = taken(client, by, title="Krondal pocket", calibre="wendelmoor-43")
    agreed_and_worked(client, visit, by)
    Finding.objects.filter(visit=visit, key="oil-dried").update(is_cause=True, mended=True)
    heard_round(visit, by, BEFORE)
    heard_round(visit, by, AFTER, after=True)
    home(visit, by)
    return fresh(visit)


def whole(client, by, sizes: dict[str, str]) -> Visit:
    """Return a visit with everything: sizes, a photograph's hole, parts, tests, turns."""
    visit = taken(client, by)
    found(visit, by, "bearing-worn", "Vrontig")
    found(visit, by, "barrel-hole-worn", "", is_cause=True, mended=True)
    agreed_and_worked(client, visit, by, sizes=sizes)
    shot = fresh(visit).photographs.last()
    Measurement.objects.filter(visit=visit, key__startswith="above.hole_").update(
        photograph=shot, note=PHOTOGRAPHED
    )
    for key, value in (("above.hole_mm", 0.921), ("above.pivot_mm", 0.896),
                       ("barrel.endshake_mm", 0.04)):  # fmt: skip
        save(Measurement(visit=visit, key=key, value=value, u=0.003, after=True), by)
    heard_round(visit, by, BEFORE, running={"CH": (-70, 180)})
    heard_round(visit, by, AFTER, after=True, running={"CH": (1, 250)})
    turned(visit)
    tested(client, visit, by)
    part(visit, by)
    home(visit, by)
    return fresh(visit)


def agreed_and_worked(client, visit: Visit, by, *, sizes: dict[str, str] | None = None) -> None:
    """Propose, agree, plan and tick the work."""
    proposed(client, visit, by, sizes=sizes, agreed=True)
    worked(client, visit, by, only=None)


def turned(visit: Visit) -> None:
    """Give each reading a turn of the escape wheel: a tooth that is late before the work."""
    for reading in Reading.objects.filter(visit=visit):
        late_s = np.full(30, 2e-5)
        late_s[6] += 0.0 if reading.after else 9e-4
        turn = WheelTurn(escape_teeth=15, turns=10, late_s=late_s, u_s=np.full(30, 1e-5),
                         beats=np.full(30, 10), scatter_s=3e-5, slow_s=1e-5, wave=(0.0, 0.0),
                         wave_u_s=1e-5, in_beat_known=False)  # fmt: skip
        reading.figures["turn"] = kept_turn(turn)
        reading.save()


def tested(client, visit: Visit, by) -> None:
    """Write the tests down: measured, looked at, left out."""
    post(client, f"/visits/{visit.number}/tests/make/", {"begin": "1"})
    known = {"test-rate-full": ("3.7", "0.5"), "test-reserve": ("46.2", "0.3"),
             "test-amplitude-full": ("278", "3")}  # fmt: skip
    for test in fresh(visit).plan.filter(kind=PlanStep.Kind.TEST):
        typed = {"result": "good", "seen": test.version}
        if test.key in known:
            typed |= dict(zip(("value", "u"), known[test.key], strict=True))
        elif test.unit:
            typed |= {"result": "skip", "note": "Ploon nurgel"}
        post(client, f"/tests/{test.pk}/", typed)


def part(visit: Visit, by) -> None:
    """Fit a spring that was made for the watch."""
    item = Item(name="Drissel 1.30", kind="spring")
    save(item, by)
    batch = Batch(item=item, origin="made", received_on=date(2026, 3, 1), quantity=1)
    save(batch, by)
    save(Used(visit=visit, batch=batch, on=date(2026, 3, 9), old_part="returned"), by)


def home(visit: Visit, by) -> None:
    """Bring a visit to ready, with what the owner is told to do from now on."""
    row = fresh(visit)
    row.advice = "Ploon nurgel."
    row.next_service_on = timezone.localdate() + timedelta(days=1500)
    row.warranty_until = timezone.localdate() + timedelta(days=700)
    save(row, by)
    move(fresh(visit), Step.READY, by, on=timezone.localdate())
