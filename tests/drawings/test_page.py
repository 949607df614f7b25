"""The page is checked with the standard library's HTML parser, the policy by CSP level 3."""

import base64
import hashlib
import re
from html.parser import HTMLParser

import pytest

from sideshake.drawings.page import ShownPicture, html_page, renumbered, svg_text
from sideshake.drawings.sound import sound_pictures
from sideshake.drawings.sound_portrait import portrait_chart

HOSTILE = "</title><script>alert('1')</script><img src=x onerror=alert(2)> & \"Elster\""


class Seen(HTMLParser):
    """What a page holds: its tags with attributes, and the text of each kind of tag."""

    def __init__(self, page):
        super().__init__()
        self.tags, self.text, self.inside = [], {}, ""
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        self.inside = tag
        self.text.setdefault(tag, []).append("")

    def handle_endtag(self, tag):
        self.inside = ""

    def handle_data(self, data):
        if self.inside:
            self.text[self.inside][-1] += data


@pytest.fixture(scope="module")
def shown(reading):
    drawn = sound_pictures(reading, None)
    return [
        ShownPicture(svg=drawn.lateness), ShownPicture(svg=drawn.portrait),
        ShownPicture(svg=drawn.portrait, summary=HOSTILE),
    ]  # fmt: skip


@pytest.fixture(scope="module")
def page(shown):
    return html_page(HOSTILE, HOSTILE, [HOSTILE, "second note"], shown)


@pytest.fixture(scope="module")
def seen(page):
    return Seen(page)


def test_hostile_text_stays_text(seen):
    assert seen.text["h1"] == seen.text["title"][:1] == seen.text["summary"] == [HOSTILE]
    assert seen.text["li"] == [HOSTILE, "second note"]
    assert len(seen.text["script"]) == 1
    assert "img" not in seen.text


def test_nothing_is_loaded(seen):
    loaders = {"link", "img", "iframe", "object", "embed", "base", "audio", "video", "source"}
    assert not loaders & {tag for tag, _ in seen.tags}
    assert not [attrs for _, attrs in seen.tags if "src" in attrs or "href" in attrs]
    assert not re.search(r"@import|url\(", seen.text["style"][0])


def test_the_policy_names_exactly_our_program_and_style(seen):
    policy = next(
        attrs["content"]
        for tag, attrs in seen.tags
        if tag == "meta" and attrs.get("http-equiv") == "Content-Security-Policy"
    )
    for text in (seen.text["script"][0], seen.text["style"][0]):
        digest = hashlib.sha256(text.encode()).digest()
        assert f"'sha256-{base64.b64encode(digest).decode()}'" in policy
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "http" not in policy


def test_no_style_stands_on_an_element_where_the_policy_would_drop_it(seen):
    assert not [attrs for _, attrs in seen.tags if "style" in attrs]


def test_the_pictures_are_there_without_a_script(reading, page):
    assert page.count("<svg") == 3
    assert renumbered(svg_text(portrait_chart(reading)), "picture1-clip") in page


def test_what_is_folded_away_is_a_picture_too(page):
    folded = page.split("<details>")[1].split("</details>")[0]
    assert "<svg" in folded
    assert page.count("<details>") == 1


def test_no_two_parts_of_the_page_share_a_name(seen):
    names = [attrs["id"] for _, attrs in seen.tags if "id" in attrs]
    assert len(names) == len(set(names))


def test_a_screen_reader_hears_what_the_picture_says(reading):
    svg = svg_text(portrait_chart(reading))
    assert 'role="img" aria-label="Portrait: the averaged sound' in svg


def test_every_beat_can_be_asked_for_its_side_and_lateness(reading, page):
    said = re.findall(r"<g><title>(t[io]ck) at ([\d.]+) s: ([−+][\d.]+) ms</title>", page)
    assert [each[0] for each in said] == [("tick", "tock")[k] for k in reading.heard.beats.side]
    late_ms = [float(each[2].replace("−", "-")) for each in said]
    assert late_ms == pytest.approx((reading.lateness_s * 1e3).tolist(), abs=6e-4)


def test_the_same_input_gives_the_same_page(shown, page):
    assert html_page(HOSTILE, HOSTILE, [HOSTILE, "second note"], shown) == page
