"""What was seen, measured and heard in a visit."""

from datetime import datetime, timedelta
from typing import Any

from sideshake.demo import visit as told
from sideshake.demo.workshop.drawing import DrawnPhotograph, Sounded
from sideshake.demo.workshop.history import looked_on
from sideshake.demo.workshop.making import Files
from sideshake.demo.workshop.rows import copied, moment
from sideshake.movement.sheet_file import shipped_sheet
from sideshake.web.models import (
    Finding,
    LookOver,
    Measurement,
    Photograph,
    Reading,
    Recording,
    Round,
    User,
    Visit,
)
from sideshake.web.readings.heard_rows import HEARD, NO_READING
from sideshake.web.readings.hearing import forget, put
from sideshake.web.rounds.services import plan_of
from sideshake.workshop_rules.look_over import questions

A_READING = timedelta(seconds=50)
"""From one position to the next."""


def write_photographs(
    visit: Visit, season_visit: told.Visit, files: Files
) -> dict[str, Photograph]:
    """Return the visit's photographs by what they show, each stored already."""
    rows = Photograph.objects.bulk_create(
        photograph(visit, each, files.photographs[season_visit.key, place], place)
        for place, each in enumerate(season_visit.photographs)
    )
    for row, each in zip(rows, season_visit.photographs, strict=True):
        row.added_at = moment(each.taken_on, f"{season_visit.key} {each.picture}")
    Photograph.objects.bulk_update(rows, ["added_at"])
    return {each.picture: row for row, each in zip(rows, season_visit.photographs, strict=True)}


def photograph(
    visit: Visit, each: told.Photograph, drawn: DrawnPhotograph, place: int
) -> Photograph:
    """Return the row of a photograph."""
    return Photograph(
        visit=visit, stored=drawn.file.path.name, sha256=drawn.file.sha256,
        format="JPEG", bytes=drawn.file.size_bytes, width_px=drawn.width_px,
        height_px=drawn.height_px, taken_at=moment(each.taken_on, f"{visit.number} {place}"),
        caption=each.caption, place=place, opens_report=each.opens_report,
        marks=[mark(one) for one in each.marks],
    )  # fmt: skip


def mark(each: told.Mark) -> dict[str, Any]:
    """Return a mark on a photograph as the record keeps it."""
    return {"across": each.across, "down": each.down, "text": each.text, "grave": each.grave}


def write_look_over(visit: Visit, season_visit: told.Visit, by: User) -> None:
    """Write the answers of the look-over, in the words of the questions."""
    calibre = visit.watch.calibre
    asked = {each.key: each for each in questions(shipped_sheet(calibre) if calibre else None)}
    rows = LookOver.objects.bulk_create(
        copied(
            LookOver, each, visit=visit, by=by, said=asked[each.question].answer(each.choice).text
        )
        for each in season_visit.look_over
    )
    for row in rows:
        row.at = moment(looked_on(season_visit), row.question)
    LookOver.objects.bulk_update(rows, ["at"])


def write_findings(
    visit: Visit, season_visit: told.Visit, photographs: dict[str, Photograph]
) -> None:
    """Write findings, each with the photograph that shows it, and sizes."""
    Finding.objects.bulk_create(
        copied(Finding, each, visit=visit, photograph=photographs.get(each.picture or ""))
        for each in season_visit.findings
    )
    Measurement.objects.bulk_create(
        copied(Measurement, each, visit=visit) for each in season_visit.measurements
    )


def write_readings(visit: Visit, season_visit: told.Visit, files: Files) -> None:
    """Write the recordings, what was heard in each, and the rounds they make."""
    kept = [
        (each, files.recordings[season_visit.key, place])
        for place, each in enumerate(season_visit.readings)
        if each.recorded
    ]
    recordings = Recording.objects.bulk_create(recording(visit, made) for _, made in kept)
    for place, (row, (each, _)) in enumerate(zip(recordings, kept, strict=True)):
        row.added_at = heard_at(each, season_visit.key) + place * A_READING
    Recording.objects.bulk_update(recordings, ["added_at"])
    rounds = write_rounds(visit, [each for each, _ in kept], season_visit.key)
    Reading.objects.bulk_create(
        reading(row, each, made, rounds.get(state_of(each)))
        for row, (each, made) in zip(recordings, kept, strict=True)
    )


def heard_at(each: told.Sound, key: str) -> datetime:
    """Return when a round was begun; 24 hours after full wind, a day after the one before."""
    day = timedelta(days=1 if each.wound == "24h" else 0)
    return moment(each.heard_on - day, key) + day


def state_of(each: told.Sound) -> tuple[bool, str]:
    """Return what the readings of a round have in common: after the work, and how far wound."""
    return each.after, each.wound


def write_rounds(visit: Visit, kept: list[told.Sound], key: str) -> dict[tuple[bool, str], Round]:
    """Return the rounds by what their readings have in common; one reading alone is none."""
    groups = {state_of(each): [one for one in kept if state_of(one) == state_of(each)]
              for each in kept}  # fmt: skip
    whole = [group for group in groups.values() if len(group) > 1]
    rows = Round.objects.bulk_create(round_of(visit, group) for group in whole)
    for row, (first, *_) in zip(rows, whole, strict=True):
        row.begun_at = heard_at(first, key)
    Round.objects.bulk_update(rows, ["begun_at"])
    return {state_of(group[0]): row for group, row in zip(whole, rows, strict=True)}


def round_of(visit: Visit, group: list[told.Sound]) -> Round:
    """Return the row of a round."""
    off, running = (
        [each.position for each in group if each.chronograph_on is on] for on in (False, True)
    )
    return Round(
        visit=visit, wound=group[0].wound, after=group[0].after, plan=plan_of(off, running)
    )


def recording(visit: Visit, made: Sounded) -> Recording:
    """Return the row of a recording."""
    return Recording(
        visit=visit, stored=made.file.path.name, sha256=made.file.sha256,
        bytes=made.file.size_bytes, rate_hz=made.rate_hz, duration_s=made.duration_s,
    )  # fmt: skip


AS_TOLD = (
    "lift_angle_deg", "beats_per_hour", "rate_s_per_day", "amplitude_deg", "beat_error_ms",
)  # fmt: skip
"""What the season tells of a sound; the records hold what is heard instead, or nothing."""


def reading(row: Recording, each: told.Sound, made: Sounded, in_round: Round | None) -> Reading:
    """Return the row of a reading, its figures heard in the recording."""
    found = copied(
        Reading, each, visit=row.visit, recording=row, heard_at=row.added_at, round=in_round,
        **dict.fromkeys(AS_TOLD),
    )  # fmt: skip
    if made.reading is None:
        forget(found)
        found.state, found.no_reading = NO_READING, made.no_reading[:300]
    else:
        put(found, made.reading)
        found.state = HEARD
    return found
