"""A visit in a browser that runs no script: every page works by link and form."""

from io import BytesIO

from PIL import Image


def pressed(desk, name: str) -> None:
    """Press a button, or follow a link, and wait for the page it leads to."""
    thing = desk.page.get_by_role("button", name=name).or_(desk.page.get_by_role("link", name=name))
    with desk.page.expect_navigation():
        thing.first.click()


def photograph() -> dict[str, object]:
    made = BytesIO()
    Image.new("RGB", (400, 300), "#c9b48a").save(made, format="PNG")
    return {"name": "dial.png", "mimeType": "image/png", "buffer": made.getvalue()}


def taken_in(desk) -> None:
    pressed(desk, "New visit")
    desk.page.get_by_label("Name", exact=True).fill("Ottilie Marwood")
    desk.page.get_by_label("What we call it").fill("expedition chronograph")
    desk.page.get_by_label("Calibre sheet").fill("tarnbrook-31")
    pressed(desk, "Take it in")


def photographed(desk) -> None:
    pressed(desk, "Add photographs")
    desk.page.set_input_files("input[type=file]", photograph())
    pressed(desk, "Store")
    with desk.page.expect_navigation():
        desk.page.locator("#photographs a:has(img)").click()
    with desk.page.expect_navigation():
        desk.page.locator("input[type=image]").click()
    desk.page.get_by_label("What is there").fill("dent at six")
    pressed(desk, "Add the point")
    desk.shows("dent at six")
    pressed(desk, "2026-001")


def looked_over(desk) -> None:
    pressed(desk, "Begin the look-over")
    pressed(desk, "Rough or stiff")
    pressed(desk, "2026-001")
    assert "Rough or stiff" in desk.page.inner_text("#looked-over")


def agreed_and_invoiced(desk) -> None:
    pressed(desk, "Begin a proposal")
    desk.page.get_by_label("It costs nothing").check()
    pressed(desk, "Send")
    pressed(desk, "Send it")
    desk.page.get_by_label("The owner's words").fill("Yes.")
    pressed(desk, "Agreed")
    pressed(desk, "Agreed")
    pressed(desk, "New invoice")
    desk.page.get_by_label("Reason for lines with 0 %").select_option("small-business")
    pressed(desk, "Issue the invoice")
    pressed(desk, "Issue INV-")
    pressed(desk, "2026-001")


def test_a_visit_goes_its_way_without_any_script(open_desk, restorer):
    desk = open_desk(restorer, java_script_enabled=False)
    taken_in(desk)
    photographed(desk)
    looked_over(desk)
    agreed_and_invoiced(desk)
    for _each in range(4):
        pressed(desk, "Next step:")
    assert "gone home" in desk.page.inner_text(".title-block")
