"""A whole visit by keyboard, from the parcel to gone home, at the desk and on the tablet."""

from io import BytesIO

from PIL import Image, ImageDraw


def drawn_photograph() -> bytes:
    """Return a picture of a dial, as a camera would hand it over."""
    picture = Image.new("RGB", (1200, 900), "#c9b48a")
    ImageDraw.Draw(picture).ellipse((200, 50, 1000, 850), fill="#f2ead3", outline="#222", width=9)
    made = BytesIO()
    picture.save(made, format="JPEG")
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


def a_photograph_and_a_point_on_it(desk) -> None:
    desk.press("p")
    desk.look()
    desk.page.set_input_files(
        "input[type=file]",
        {"name": "../../dial.jpg", "mimeType": "image/jpeg", "buffer": drawn_photograph()},
    )
    desk.enter("Store")
    desk.look()
    desk.page.locator("#photographs a:has(img)").click()
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


def test_a_visit_from_the_parcel_to_gone_home(desk):
    the_parcel_comes(desk)
    a_photograph_and_a_point_on_it(desk)
    looked_over_by_single_keys(desk)
    findings_noted(desk)
