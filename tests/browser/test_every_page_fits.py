"""Every page on a telephone, a tablet and a desktop: it fits, can be hit, and tells its keys."""

import pytest
from django.test import Client
from filled_workshop import ALL, fill, gaps_of

from tests.browser.looks import (
    ANSWERING,
    IN_FIELDS,
    LINES,
    LISTED,
    MISFITS,
    TARGET_PX,
)

WIDTHS = (390, 820, 1280)
NOT_LOOKED_AT = {"sign-in-link", "sign-in"}


@pytest.fixture
def pages(visit, restorer, colleague, settings, house):
    """The addresses of all pages of a filled visit that can be looked at."""
    gaps = gaps_of(visit, fill(visit, restorer, settings.FILES), colleague)
    client = Client()
    client.force_login(restorer)
    found = []
    for name, address in ALL.items():
        if name in NOT_LOOKED_AT:
            continue
        path = address.filled(gaps)
        answer = client.get(path)
        answer.close()
        page = "text/html" in answer.headers.get("Content-Type", "")
        if answer.status_code == 200 and page and "Content-Disposition" not in answer.headers:
            found.append(path)
    assert len(found) > 60
    return found


def test_every_page_fits_every_screen_and_tells_its_keys(open_desk, restorer, pages):
    desk = open_desk(restorer)
    desk.expected |= {404, 422}  # the filled visit's recording is silent: it has no pictures
    wrong = []
    for path in pages:
        desk.go(path)
        for width in WIDTHS:
            desk.page.set_viewport_size({"width": width, "height": 844})
            if told := misfits(desk):
                wrong.append((path, width, told))
        if desk.page.evaluate(LINES) > 1:
            wrong.append((path, WIDTHS[-1], "a navigation wraps"))
        wrong += [(path, told) for told in untrue_keys(desk)]
    assert wrong == []


def misfits(desk):
    """Return what does not fit: too wide, words or boxes over each other, too small to hit."""
    return [*desk.beyond(), *desk.page.evaluate(MISFITS, TARGET_PX)]


def untrue_keys(desk):
    """Return which keys answer and are not listed, are listed and do not answer, or say nothing."""
    listed = dict(desk.page.evaluate(LISTED))
    answering = set(desk.page.evaluate(ANSWERING))
    nameless = [key for key, words in listed.items() if not words.strip()]
    return [*(answering ^ (set(listed) - IN_FIELDS)), *nameless]


def test_what_does_not_fit_is_noticed(open_desk, restorer):
    desk = open_desk(restorer)
    desk.go("/due/")
    assert misfits(desk) == []
    assert untrue_keys(desk) == []
    desk.page.evaluate("""() => { document.querySelector("main").insertAdjacentHTML("beforeend",
      `<div id=a class=p0><button class=p1>one</button>
       <button class=p2>two</button>
       <input type=search><a href="/x" class="button p3">x</a><p><a href="/">alone</a></p>
       <p>said <a href="/">within</a> a sentence</p></div>`);
      const rules = new CSSStyleSheet();
      rules.replaceSync(`.p0 { position: relative; }
        .p1, .p2 { position: absolute; left: 0; top: 0; }
        .p3 { min-height: 0; height: 20px; } .top nav { max-width: 30rem; }`);
      document.adoptedStyleSheets = [rules]; }""")
    told = " ".join(str(each) for each in misfits(desk))
    assert "one | two" in told
    assert "p1" in told
    assert "p3" in told
    assert "alone" in told
    assert "within" not in told
    assert desk.page.evaluate(LINES) > 1


def test_a_key_that_is_not_told_is_noticed(open_desk, restorer):
    desk = open_desk(restorer)
    desk.go("/due/")
    desk.page.evaluate("""() => document.addEventListener("keydown",
      (event) => { if (event.key === "q") event.preventDefault(); })""")
    assert untrue_keys(desk) == ["q"]


def test_the_keys_open_and_close_by_their_own_key(open_desk, restorer):
    desk = open_desk(restorer)
    desk.go("/visits/")
    desk.page.keyboard.press("?")
    assert desk.page.get_by_role("heading", name="Keys of this page").is_visible()
    desk.look()
    desk.page.keyboard.press("?")
    assert not desk.page.get_by_role("heading", name="Keys of this page").is_visible()
    desk.page.get_by_role("button", name="Keys of this page").click()
    desk.press("n")
    assert desk.page.url.endswith("/visits/new/")


def test_on_a_telephone_the_rooms_open_behind_one_button(open_desk, restorer):
    desk = open_desk(restorer, size="telephone")
    desk.go("/")
    assert not desk.page.get_by_role("link", name="Drawer").is_visible()
    desk.page.get_by_role("button", name="Rooms").press("Enter")
    desk.page.get_by_role("link", name="Drawer").click()
    desk.shows("Drawer")
    desk.look()
