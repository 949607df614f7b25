"""Every page on a telephone, a tablet and a desktop: no sideways scroll, no words over words."""

import pytest
from django.test import Client
from filled_workshop import ALL, fill, gaps_of

WIDTHS = (390, 820, 1280)
NOT_LOOKED_AT = {"sign-in-link", "sign-in"}
OVER = """() => { const texts = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const node = walker.currentNode, parent = node.parentElement;
    if (!node.data.trim() || parent.closest("svg, .unseen, .skip, select, script, style, textarea")
        || !parent.checkVisibility({checkOpacity: true, checkVisibilityCSS: true})) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    for (const box of range.getClientRects())
      if (box.width > 2 && box.height > 2) texts.push([box, node.data.trim().slice(0, 40), parent]);
  }
  const over = [];
  texts.forEach(([one, said, parent], place) => {
    for (const [other, also, next] of texts.slice(place + 1, place + 300)) {
      const x = Math.min(one.right, other.right) - Math.max(one.left, other.left);
      const y = Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top);
      if (next !== parent && x > 3 && y > 6 && over.length < 5) over.push(`${said} | ${also}`);
    }
  });
  return over; }"""


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


def test_every_page_fits_every_screen(open_desk, restorer, pages):
    desk = open_desk(restorer)
    desk.expected |= {404, 422}  # the filled visit's recording is silent: it has no pictures
    wrong = []
    for path in pages:
        desk.go(path)
        for width in WIDTHS:
            desk.page.set_viewport_size({"width": width, "height": 844})
            if told := [*desk.beyond(), *desk.page.evaluate(OVER)]:
                wrong.append((path, width, told))
    assert wrong == []


def test_on_a_telephone_the_rooms_open_behind_one_button(open_desk, restorer):
    desk = open_desk(restorer, size="telephone")
    desk.go("/")
    assert not desk.page.get_by_role("link", name="Drawer").is_visible()
    desk.page.get_by_role("button", name="Rooms").press("Enter")
    desk.page.get_by_role("link", name="Drawer").click()
    desk.shows("Drawer")
    desk.look()
