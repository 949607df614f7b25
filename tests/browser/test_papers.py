"""Papers, logo and a page to show at a real browser; the page then opens from the disk alone."""

import zipfile
from datetime import date
from io import BytesIO

import pytest
from PIL import Image, ImageDraw

from sideshake.web.base.saving import save
from sideshake.web.models import JewelOrder, Outwork, Owner, Visit, Watch


def drawn(kind: str) -> bytes:
    picture = Image.new("RGB", (900, 600), "#c9b48a")
    ImageDraw.Draw(picture).ellipse((200, 50, 700, 550), fill="#f2ead3", outline="#222", width=9)
    made = BytesIO()
    picture.save(made, format=kind)
    return made.getvalue()


@pytest.fixture
def visit(restorer) -> Visit:
    owner = Owner(name="Ottilie Marwood", address="Fernhollow Lane 3")
    save(owner, restorer)
    story = "Ottilie's aunt wore it on the ice until 1912."
    watch = Watch(owner=owner, title="expedition chronograph", story=story)
    save(watch, restorer)
    day = date(2026, 3, 2)
    made = Visit(number="2026-001", watch=watch, arrived_on=day, step_since=day)
    save(made, restorer)
    order = JewelOrder(number="J2026-001", to="Stonewright", ordered_on=day)
    save(order, restorer)
    sizes = {"hole_mm": 0.92, "outside_mm": 2.0, "thickness_mm": 0.6}
    save(Outwork(visit=made, what="barrel", jewel=True, order=order, **sizes), restorer)
    return made


def give(desk, field: str, name: str, data: bytes) -> None:
    kind = "image/png" if name.endswith("png") else "image/jpeg"
    file = {"name": name, "mimeType": kind, "buffer": data}
    desk.page.locator(field).set_input_files([file])


def test_the_logo_is_put_on_and_seen(desk, visit):
    desk.go("/settings/")
    give(desk, "#logo-file", "logo.png", drawn("PNG"))
    desk.enter("Put it on the papers")
    desk.shows("The logo is on all papers from now on.")
    assert desk.page.locator("img.logo").evaluate("each => each.naturalWidth") == 900
    desk.look()
    desk.go(f"/visits/{visit.number}/papers/")
    desk.look()
    desk.go(f"/drawer/jewels/{JewelOrder.objects.get().pk}/")
    desk.look()


def test_a_story_is_shown_from_consent_to_the_page_on_a_disk(desk, visit, tmp_path, browser):
    desk.go(f"/visits/{visit.number}/photographs/add/")
    give(desk, "#photographs", "front.jpg", drawn("JPEG"))
    desk.tab_to("Store")
    desk.page.keyboard.press("Enter")
    desk.page.get_by_role("link", name="See it at the visit").wait_for()
    desk.go(f"/visits/{visit.number}/show/")
    desk.look()
    desk.enter("Record the owner's consent")
    desk.page.get_by_label("Owner agreed to show it on").fill("2026-03-20")
    desk.write("How the owner agreed", "letter of 20 March")
    desk.look()
    desk.enter("Save")
    desk.shows("One thing would still tell too much", "“Ottilie” (the owner's name) in the story")
    desk.look()
    desk.enter("Put … in their place")
    desk.shows("Nothing was found that tells who owns the watch.")
    desk.tick("Show it")
    desk.write("Words under it", "As it came")
    with desk.page.expect_download() as coming:
        desk.page.get_by_role("button", name="Make the page").press("Enter")
    with zipfile.ZipFile(coming.value.path()) as packed:
        packed.extractall(tmp_path / "unpacked")
    opened_from_a_disk(browser, tmp_path / "unpacked" / "expedition-chronograph")


def opened_from_a_disk(browser, folder) -> None:
    """Fail unless the page shows its style and pictures, with no word on the console."""
    page = browser.new_page()
    said = []
    page.on("console", lambda message: said.append(message.text))
    page.goto((folder / "index.html").as_uri())
    assert page.locator("img").evaluate("each => each.naturalWidth") == 900
    ground = page.evaluate("getComputedStyle(document.documentElement).backgroundColor")
    assert ground == "rgb(246, 240, 226)"
    assert "aunt wore it on the ice until 1912." in page.inner_text("main")
    assert said == []
    page.close()
