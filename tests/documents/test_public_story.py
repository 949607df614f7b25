"""A page to show: nothing without consent, no name or number on it, the same bytes again."""

import io
import re
import zipfile
from dataclasses import replace
from datetime import date
from html.parser import HTMLParser

import pytest
from PIL import Image

from sideshake.core.errors import InputError
from sideshake.core.quantities import Measured
from sideshake.documents.acceptance import HeardFigures, PositionRow, Proof
from sideshake.documents.blocks import Letterhead, Picture
from sideshake.documents.public_story import PublicStory, Texts, archive, site, still_told
from sideshake.documents.redaction import Secret
from tests.photo.samples import exif_with_place, saved

SECRETS = (
    *Secret.name("the owner's name", "Ottilie Marwood"),
    *Secret.number("the case number", "88123"),
    *Secret.place("the address", "Lane 3\nFernhollow"),
)
TEXTS = Texts(
    title="Expedition chronograph",
    story="A grandfather wore it <b> on the ice & back.\nIt stopped in 1974.",
    seen="Dial: silver, two counters",
    found="The hole in the bridge is worn oval\n1.012 by 0.936 mm.\n\nDried oil",
    done="Jewelled the bridge",
    parts="1 × jewel, made for us",
)


def jpeg(**options) -> bytes:
    return saved("JPEG", Image.new("RGB", (60, 40), "#e3cfa0"), **options)


def picture(name="photograph-17.jpg", **told) -> Picture:
    return Picture(name=name, data=jpeg(), alt="the front", **told)


@pytest.fixture
def shown():
    after = HeardFigures(rate_s_per_day=Measured(6.2, 0.2), amplitude_deg=Measured(272, 1.5))
    return PublicStory(
        head=Letterhead(name="Werkstatt Aldermoor", address="Fernhollow", email="a@example.org"),
        texts=TEXTS,
        proof=Proof(
            positions=(PositionRow(words="dial up", after=after),),
            pictures=(Picture(name="pair.svg", data=b"<svg><text>dial up</text></svg>", alt="x"),),
        ),
        pictures=(picture(caption="As it came"), picture("photograph-18.jpg")),
        secrets=SECRETS,
        consent_on=date(2026, 11, 1),
        consent_how="letter of 1 November",
    )


def page(shown) -> str:
    return site(shown)[0].data.decode()


@pytest.mark.parametrize(
    "lacking", [{"consent_on": None}, {"consent_how": ""}, {"consent_how": "  "}]
)
def test_nothing_is_shown_without_consent(shown, lacking):
    with pytest.raises(InputError, match="only when the owner has agreed"):
        replace(shown, **lacking)


def test_the_page_tells_story_findings_work_and_figures(shown):
    said = re.sub(r"<[^>]+>", " ", page(shown))
    for words in ("on the ice", "It stopped in 1974.", "silver, two counters", "Dried oil",
                  "1.012 by 0.936 mm", "Jewelled the bridge", "made for us", "+6.2 ± 0.4",
                  "272 ± 3", "As it came", "Werkstatt Aldermoor"):  # fmt: skip
        assert words in said, words


@pytest.mark.parametrize("part", ["title", "story", "seen", "found", "done", "parts"])
def test_a_name_in_any_text_is_found_and_stops_the_page(shown, part):
    texts = replace(TEXTS, **{part: f"{getattr(TEXTS, part)} of OTTILIE's"})
    told = still_told(replace(shown, texts=texts))
    assert [(name, found[0].words, found[0].what) for name, found in told.items()] == [
        (part, "OTTILIE", "the owner's name")
    ]
    with pytest.raises(InputError, match="would still show “OTTILIE”; nothing was written"):
        site(replace(shown, texts=texts))


def test_a_number_under_a_picture_stops_the_page(shown):
    marked = replace(shown, pictures=(picture(caption="No. 88 123 in the case"),))
    assert still_told(marked)["pictures"][0].words == "88 123"


def test_a_name_in_a_drawing_stops_the_page(shown):
    drawn = Picture(name="a.svg", data=b"<svg><text>Marwood</text></svg>", alt="x")
    with pytest.raises(InputError, match="Marwood"):
        site(replace(shown, proof=replace(shown.proof, pictures=(drawn,))))


def test_a_name_among_the_figures_stops_the_page(shown):
    position = PositionRow(words="as Marwood wears it", after=HeardFigures())
    with pytest.raises(InputError, match="Marwood"):
        site(replace(shown, proof=Proof(positions=(position,))))


def test_words_said_to_be_harmless_may_stay(shown):
    texts = replace(TEXTS, story="Marwood is a village, too.")
    site(replace(shown, texts=texts, may_stay=frozenset({"marwood"})))


def test_the_workshops_own_place_is_no_secret(shown):
    assert "Fernhollow" in page(shown)


def test_a_picture_that_tells_where_it_was_taken_stops_the_page(shown):
    placed = Picture(name="p.jpg", data=jpeg(exif=exif_with_place()), alt="front")
    with pytest.raises(InputError, match="tells where it was taken"):
        site(replace(shown, pictures=(placed,)))


def test_files_have_names_that_tell_nothing(shown):
    assert [each.name for each in site(shown)] == [
        "index.html", "style.css", "picture-1.jpg", "picture-2.jpg", "drawing-1.svg"
    ]  # fmt: skip


def test_every_picture_of_the_page_is_among_the_files(shown):
    logo = Picture(name="logo.png", data=saved("PNG", Image.new("RGB", (9, 9))), alt="")
    files = site(replace(shown, head=replace(shown.head, logo=logo)))
    used = re.findall(r'src="([^"]+)"', files[0].data.decode())
    assert sorted(used) == sorted(each.name for each in files[2:])


class Elements(HTMLParser):
    def __init__(self):
        super().__init__()
        self.found = []

    def handle_starttag(self, tag, attrs):
        self.found.append((tag, dict(attrs)))


def test_the_page_has_no_script_and_asks_nothing_of_others(shown):
    reader = Elements()
    reader.feed(page(shown))
    tags = {tag for tag, _attrs in reader.found}
    assert not tags & {"script", "iframe", "form", "object", "embed", "a"}
    assert not [attrs for _tag, attrs in reader.found if any(n.startswith("on") for n in attrs)]
    assert not [attrs for _tag, attrs in reader.found if "style" in attrs]
    assert "http:" not in page(shown)
    assert "https:" not in page(shown)
    policy = next(a for t, a in reader.found if t == "meta" and "http-equiv" in a)["content"]
    assert "default-src 'none'" in policy


def test_hostile_text_is_only_text(shown):
    texts = replace(TEXTS, title='<img src=x onerror=alert(1)> "', story="</style><script>x")
    said = page(replace(shown, texts=texts))
    assert "<img src=x" not in said
    assert "<script" not in said


def test_the_same_page_gives_the_same_bytes_in_one_folder(shown):
    first, again = (archive(site(shown), "chronograph") for _ in range(2))
    assert first == again
    with zipfile.ZipFile(io.BytesIO(first)) as packed:
        assert packed.testzip() is None
        assert all(name.startswith("chronograph/") for name in packed.namelist())


def test_an_empty_story_leaves_no_empty_heading(shown):
    bare = replace(shown, texts=Texts(title="A watch"), proof=Proof(), pictures=())
    assert re.findall("<h2>", page(bare)) == []
    assert "None" not in page(bare)


def test_a_page_needs_a_title():
    with pytest.raises(InputError, match="needs a title"):
        Texts(title=" ")


def test_figures_of_neighbouring_cells_are_no_number_together(shown):
    """The case number is 88123: 88 in one cell and 123 in the next are not it."""
    heard = HeardFigures(rate_s_per_day=Measured(88), amplitude_deg=Measured(123))
    proof = Proof(positions=(PositionRow(words="dial up", after=heard),))
    assert not still_told(replace(shown, proof=proof))
    told = HeardFigures(rate_s_per_day=Measured(88123))
    whole = Proof(positions=(PositionRow(words="dial up", after=told),))
    assert "figures" in still_told(replace(shown, proof=whole))
