"""A whole visit by keyboard, from the parcel to gone home, at the desk and on the tablet."""

from datetime import date
from io import BytesIO

import pytest
import soundfile
from PIL import Image, ImageDraw

from sideshake.sound.simulate import SimulatedWatch, simulate
from sideshake.web.base.saving import save
from sideshake.web.models import Batch, Item, PlanStep

ABOVE = (
    ("Long axis of an oval hole", "1,012"),
    ("Short axis of an oval hole", "0,936"),
    ("Direction of the long axis", "95"),
    ("Diameter of the pivot", "0,896+-0,002"),
    ("Largest outside diameter", "2,8"),
    ("From the hole's middle", "1,6"),
    ("Thickness", "0,60"),
)
BELOW = (
    ("Diameter of the hole, if round", "0,928"),
    ("Diameter of the pivot", "0.897+-0.004"),
    ("Largest outside diameter", "2.4"),
    ("Thickness", "0.55"),
)
AROUND = (
    ("Axial play of the arbor", "0,045+-0,005"),
    ("Rim to plate", "0,21+-0,01"),
    ("Rim to bridge", "0,20+-0,01"),
    ("Direction of the pinion the barrel drives", "60"),
    ("Where the crown wheel touches", "200"),
    ("Which way the barrel turns", "clockwise"),
    ("Amplitude now", "208"),
)


def drawn_photograph() -> bytes:
    """Return a picture of a dial, as a camera would hand it over."""
    picture = Image.new("RGB", (1200, 900), "#c9b48a")
    ImageDraw.Draw(picture).ellipse((200, 50, 1000, 850), fill="#f2ead3", outline="#222", width=9)
    made = BytesIO()
    picture.save(made, format="JPEG")
    return made.getvalue()


def simulated_recording() -> bytes:
    """Return half a minute of a watch that gains 12 s a day and swings 215 degrees."""
    going = SimulatedWatch(
        beats_per_hour=18000, rate_s_per_day=12, amplitude_deg=215, lift_angle_deg=50
    )
    sound = simulate(going, duration_s=30, seed=4)
    made = BytesIO()
    soundfile.write(made, sound.samples, sound.rate_hz, format="WAV")
    return made.getvalue()


def the_parcel_comes(desk) -> None:
    desk.press("n")
    desk.look()
    desk.write("Name", "Ottilie Marwood")
    desk.write("Email", "ottilie@example.org")
    desk.write("What we call it", "expedition chronograph")
    desk.write("Calibre sheet", "tarnbrook-31")
    desk.write("Case number", "204817")
    desk.write("Its story", "Grandfather wore it on the ice.")
    desk.write("What is wrong", "Stops in the night.")
    desk.write("Value the owner states", "1850.50")
    desk.enter("Take it in")
    desk.look()
    desk.shows("expedition chronograph", "Ottilie Marwood", "Stops in the night.", "arrived")


def stored(desk, press: str) -> None:
    """Send what was chosen, and follow the way to the visit that appears when it is there."""
    desk.tab_to(press)
    desk.page.keyboard.press("Enter")
    desk.page.get_by_role("link", name="See it at the visit").wait_for()
    desk.enter("See it at the visit")


def a_photograph_and_a_point_on_it(desk) -> None:
    desk.press("p")
    desk.look()
    desk.page.set_input_files(
        "input[type=file]",
        {"name": "../../dial.jpg", "mimeType": "image/jpeg", "buffer": drawn_photograph()},
    )
    stored(desk, "Store")
    desk.look()
    desk.page.locator("#photographs a:has(img)").focus()
    desk.press("Enter")
    desk.look()
    touched(desk, desk.page.locator("#tap svg").first)
    desk.page.keyboard.type("scratch beside the centre")
    desk.enter("Add the point")
    desk.look()
    desk.shows("scratch beside the centre")
    desk.press("v")
    desk.shows("one point")


def touched(desk, thing) -> None:
    """Tap on a tablet, click at a desk."""
    if desk.page.evaluate("navigator.maxTouchPoints"):
        thing.tap()
    else:
        thing.click()


def looked_over_by_single_keys(desk) -> None:
    desk.press("l")
    desk.look()
    desk.shows("Does it wind smoothly?")
    for key in ("w", "n", *("g" * 21)):
        desk.press(key)
    desk.shows("Everything is looked over")
    desk.look()
    desk.press("Enter")
    desk.shows("looked over", "Rough or stiff")


def findings_noted(desk) -> None:
    desk.press("f")
    desk.look()
    desk.press("a")
    desk.look()
    desk.write("Finding", "Bridge hole gone oval")
    desk.enter("Save")
    desk.shows("Bridge hole gone oval")


def sizes_measured_with_a_comma(desk) -> None:
    desk.press("m")
    desk.press("b")
    desk.look()
    for field, size in ABOVE + BELOW + AROUND:
        desk.write(field, size)
    desk.enter("Save and judge")
    desk.look()
    desk.shows("Fit a jewel in the bridge", "the barrel reaches the bridge")
    desk.press("v")
    desk.page.locator("#measured summary", has_text="measured sizes").press("Enter")
    desk.shows("1.012")


def heard(desk) -> None:
    desk.press("r")
    desk.look()
    desk.page.set_input_files(
        "input[type=file]",
        {"name": "as it came.wav", "mimeType": "audio/wav", "buffer": simulated_recording()},
    )
    desk.choose("Position", "9H")
    desk.choose("Wound", "fully")
    stored(desk, "Store and hear")
    desk.look()
    desk.shows("Gains 12", "swings")
    desk.enter("9H")
    desk.page.wait_for_load_state("networkidle")
    desk.look()
    desk.press("v")


def proposed_and_agreed(desk) -> None:
    desk.press("o")
    desk.look()
    desk.shows("Complete overhaul of the movement")
    desk.press("e")
    desk.look()
    desk.write("The work takes, weeks", "6")
    desk.enter("Save")
    desk.tick("No price yet")
    desk.press("g")
    desk.shows("Send proposal 1", "to Ottilie Marwood?")
    desk.look()
    desk.press("y")
    desk.look()
    desk.write("The owner's words", "Yes please, all of it.")
    desk.enter("Agreed")
    desk.shows("Write down that Ottilie Marwood agrees to")
    desk.press("y")
    desk.look()
    desk.shows("Yes please, all of it.", "agreed")


def worked_at_the_bench(desk) -> None:
    desk.press("b")
    desk.look()
    desk.press("m")
    desk.look()
    desk.shows("0 of", "Next step")
    desk.press("d")
    desk.press("Space")
    desk.shows("2 of")
    desk.look()


def a_piece_from_the_drawer(desk) -> None:
    desk.press("u")
    desk.look()
    desk.enter("jewel 0.91")
    desk.look()
    desk.shows("spring lot")
    desk.enter("Save")
    desk.look()
    desk.shows("jewel 0.91")


def every_test_good(desk) -> None:
    desk.press("c")
    desk.look()
    desk.press("m")
    desk.look()
    while desk.page.locator("button[name=result][value=good]").count():
        desk.enter("Good")
    measured = PlanStep.objects.filter(kind="test", done_at=None)
    assert measured.update(result="skip", note="no instrument today") > 0
    desk.go("/visits/2026-001/tests/")
    desk.shows("Every test is good.")
    desk.look()
    desk.press("r")
    desk.shows("ready")


def invoiced_and_paid(desk) -> None:
    desk.press("i")
    desk.look()
    desk.choose("Reason for lines with 0 %", "small business")
    desk.enter("Issue the invoice")
    desk.shows("to Ottilie Marwood?")
    desk.press("y")
    desk.look()
    desk.shows("Invoice", "expedition chronograph")
    desk.press("v")
    desk.press("y")
    desk.look()
    desk.write("Amount", "100.50")
    desk.write("How", "bank")
    desk.enter("Save")
    desk.look()
    desk.shows("100.50")


def gone_home(desk) -> None:
    desk.press(".")
    desk.shows("gone home")
    desk.enter("Edit the way home")
    desk.look()
    desk.write("Sent by", "Fellhorse Carriers")
    desk.write("Advice to the owner", "Wind it in the morning.")
    desk.enter("Save")
    desk.look()
    desk.shows("Fellhorse Carriers", "Wind it in the morning.", "Warranty until", "Next service")


def it_comes_back(desk) -> None:
    desk.press("n")
    desk.write("Was it here before?", "204817")
    desk.press("Enter")
    desk.look()
    desk.enter("expedition chronograph")
    desk.look()
    desk.shows("It was here before")
    desk.write("What is wrong", "Loses an hour a day.")
    desk.enter("Take it in")
    desk.look()
    desk.shows("It was here before", "Stops in the night.")
    desk.page.keyboard.press("/")
    desk.page.keyboard.type("hour a day")
    desk.press("Enter")
    desk.look()
    desk.shows("expedition chronograph")


@pytest.fixture
def _drawer(restorer):
    jewel = Item(name="jewel 0.91", kind="jewel", hole_mm=0.91)
    save(jewel, restorer)
    save(Batch(item=jewel, label="spring lot", received_on=date(2026, 3, 2), quantity=5), restorer)


@pytest.mark.usefixtures("_drawer")
def test_a_visit_from_the_parcel_to_gone_home(desk):
    the_parcel_comes(desk)
    a_photograph_and_a_point_on_it(desk)
    looked_over_by_single_keys(desk)
    findings_noted(desk)
    sizes_measured_with_a_comma(desk)
    heard(desk)
    proposed_and_agreed(desk)
    worked_at_the_bench(desk)
    a_piece_from_the_drawer(desk)
    every_test_good(desk)
    invoiced_and_paid(desk)
    gone_home(desk)
    it_comes_back(desk)
