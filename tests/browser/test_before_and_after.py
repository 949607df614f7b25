"""Before and after, hearing again, listening slowly, in a real browser at both sizes."""

import io
from datetime import date

import pytest
import soundfile

from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import SimulatedWatch, simulate
from sideshake.web.base.saving import save
from sideshake.web.models import Owner, Reading, Rehearing, Visit, Watch
from sideshake.web.readings.hearing import take_in
from sideshake.web.rehearing.asked import of_all
from sideshake.web.rehearing.services import begin, hear_run

PLAYED = """() => { const sound = document.getElementById("slow");
  return [sound.error ? sound.error.message : "", sound.currentTime, sound.duration]; }"""
RUNS = '() => parseFloat(document.querySelector(".cursor").style.left) > 6'


def recorded(visit, by, *, after: bool) -> Reading:
    watch = SimulatedWatch(
        amplitude_deg=270 if after else 205, rate_s_per_day=4 if after else -48, lift_angle_deg=50
    )
    samples = simulate(watch, duration_s=12, room=RoomNoise(snr_db=25), seed=2 + after).samples
    written = io.BytesIO()
    soundfile.write(written, samples, 48000, format="FLAC", subtype="PCM_16")
    reading = Reading(visit=visit, position="CH", wound="full", after=after)
    return take_in(visit, [written.getvalue()], reading, by)


@pytest.fixture
def heard(restorer) -> list[Reading]:
    owner = Owner(name="Ottilie Marwood")
    save(owner, restorer)
    watch = Watch(owner=owner, title="expedition chronograph", calibre="tarnbrook-31")
    save(watch, restorer)
    day = date(2026, 3, 2)
    visit = Visit(number="2026-001", watch=watch, arrived_on=day, step_since=day)
    save(visit, restorer)
    return [recorded(visit, restorer, after=after) for after in (False, True)]


def test_before_and_after_is_reached_from_the_visit(desk, heard):
    desk.go("/visits/2026-001/")
    desk.enter("Before and after, side by side")
    desk.shows("further than before (CH, dial up)", "nearer to true", "better")
    desk.look()
    desk.enter("Compare")
    desk.shows("further than before")


def test_the_slow_sound_plays_and_a_line_runs_with_it(desk, heard):
    desk.go(f"/readings/{heard[1].pk}/")
    desk.press("l")
    desk.look()
    desk.press("n")
    desk.shows("From 2 to 4 s, 4 times slower")
    desk.page.keyboard.press("Space")
    desk.page.wait_for_function(RUNS)
    fault, at_s, whole_s = desk.page.evaluate(PLAYED)
    assert (fault, whole_s) == ("", pytest.approx(8.0, abs=0.01))
    assert at_s > 0
    desk.page.keyboard.press("Space")
    assert desk.page.evaluate('document.getElementById("slow").paused')


def test_without_a_script_the_slow_sound_is_there_too(open_desk, restorer, heard):
    desk = open_desk(restorer)
    address = f"/readings/{heard[1].pk}/slowly/?from=2&slower=8"
    state = desk.page.context.storage_state()
    still = open_desk(storage_state=state, java_script_enabled=False)
    still.go(address)
    still.shows("From 2 to 4 s, 8 times slower")
    assert still.page.locator("audio[controls]").count() == 1
    assert not still.page.locator("#play").is_visible()


@pytest.fixture
def first_by_the_first_ear(heard):
    Reading.objects.filter(pk=heard[0].pk).update(ear=1, program="")
    return heard[0]


def test_two_ears_are_told_heard_again_and_put_back(desk, first_by_the_first_ear):
    desk.go("/visits/2026-001/")
    desk.enter("Before and after, side by side")
    desk.shows("Before was heard by an older ear (1) than after")
    desk.look()
    desk.press("a")
    desk.shows("One reading of 2 was heard by an older ear than today's")
    desk.look()
    desk.press("s")
    desk.shows("1 heard again.", "ear 1, before versions were kept")
    desk.look()
    desk.enter("Put the earlier figures back")
    desk.shows("What it says now goes away.")
    desk.press("y")
    desk.shows("1 reading says again what it said before.", "put back")
    desk.look()
    desk.enter("2026-001, CH, dial up")
    desk.shows("What it said before", "hear it again before you compare it")
    desk.look()
    desk.press("a")
    desk.shows("Heard again.")


def test_a_run_that_goes_on_can_be_stopped(desk, first_by_the_first_ear, restorer):
    run = begin(of_all(), restorer)
    desk.go(f"/hear-again/{run.pk}/")
    desk.shows("0 of 1 done. Now: 2026-001, CH, dial up, fully wound, as it came.")
    desk.look()
    desk.press("l")
    desk.shows("0 of 1 done.")
    desk.press("x")
    desk.shows("Stopped. 1 left as it was.")
    desk.go("/hear-again/")
    desk.shows("Heard again so far", "stopped")
    desk.look()
    assert Rehearing.objects.get().stopped


def test_the_page_follows_a_run_by_itself_to_its_end(desk, first_by_the_first_ear, heard, restorer):
    Reading.objects.update(ear=1, program="")
    run = begin(of_all(), restorer)
    desk.go(f"/hear-again/{run.pk}/")
    desk.shows("0 of 2 done.")
    rows = hear_run(run)
    next(rows)
    desk.page.get_by_text("1 of 2 done.").wait_for()
    list(rows)
    desk.page.get_by_text("2 heard again.").wait_for()
    desk.look()
