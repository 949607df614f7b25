"""The page for the user and the messages name the same limits."""

import io
import re

import pytest
from django.conf import settings
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from sideshake.core.errors import InputError
from sideshake.web.base.gate import STRANGERS_BYTES
from sideshake.web.sample_clock import check as clock_check
from sideshake.web.storage import imported


@pytest.fixture(scope="module")
def told(pytestconfig):
    """What the page tells: what, and the numbers in its limit."""
    page = (pytestconfig.rootpath / "docs" / "workshop.md").read_text("utf-8")
    part = page.partition("## How large things may be")[2].partition("\n## ")[0]
    rows = re.findall(r"^\| ([^|]+) \| ([^|]+) \|$", part, re.MULTILINE)[1:]
    return {what: [int(number) for number in re.findall(r"\d+", limit)] for what, limit in rows}


def test_every_limit_is_told_as_it_is(told):
    assert told == {
        "a photograph or logo": [
            settings.MOST_PHOTOGRAPH_BYTES // 10**6,
            settings.MOST_PHOTOGRAPH_PIXELS // 10**6,
        ],
        "files sent at once": [settings.DATA_UPLOAD_MAX_NUMBER_FILES],
        "a recording, also one made at the bench": [settings.MOST_RECORDING_BYTES // 10**6],
        "a recording to check a sound clock by": [int(clock_check.MOST_RECORDING_S // 60)],
        "a form": [
            settings.DATA_UPLOAD_MAX_MEMORY_SIZE // 10**6,
            settings.DATA_UPLOAD_MAX_NUMBER_FIELDS,
        ],
        "a request of somebody who has not signed in": [STRANGERS_BYTES // 1000],
        "a CSV file for `sideshake import`": [imported.LARGEST_BYTES // 10**6],
    }
    whole = (settings.MOST_PHOTOGRAPH_BYTES, settings.MOST_RECORDING_BYTES, imported.LARGEST_BYTES)
    assert [each % 10**6 for each in whole] == [0, 0, 0]


def test_the_other_pages_say_the_same(told, pytestconfig):
    docs = pytestconfig.rootpath / "docs"
    most, pixels = told["a photograph or logo"]
    page = " ".join((docs / "photographs.md").read_text("utf-8").split())
    assert f"At most {most} MB and {pixels} million pixels" in page
    workshop = (docs / "workshop.md").read_text("utf-8")
    assert f"no more than {told['a request of somebody who has not signed in'][0]} kB" in workshop


def words(answer):
    return " ".join(answer.content.decode().split())


def test_a_form_that_holds_more_is_told_the_same(told, client):
    mb, fields = told["a form"]
    (files,) = told["files sent at once"]
    for sent in ({f"f{n}": "1" for n in range(fields + 1)}, {"name": "x" * (mb * 10**6 + 1)}):
        answer = client.post("/owners/new/", sent)
        assert answer.status_code == 400
        assert f"({mb} MB of words, {fields} fields, {files} files at once)" in words(answer)
    assert client.post("/owners/new/", {"name": "x" * (mb * 10**5)}).status_code == 422


def test_photographs_too_many_too_large_or_with_too_many_points(told, client, visit, settings):
    add = f"/visits/{visit.number}/photographs/add/"
    (files,) = told["files sent at once"]
    assert f"at most {files} at once" in client.get(add).text
    many = [SimpleUploadedFile(f"{n}.png", b"x") for n in range(files + 1)]
    assert f"{files} files at once" in words(client.post(add, {"photographs": many}))
    most, pixels = told["a photograph or logo"]
    assert "larger than the 1 MB that are allowed" in refused(client, add, settings, most)
    assert f"{pixels} million" in wide_refused(client, add)


def refused(client, add, settings, most):
    """Return what is said of a picture that is too large, with a limit small enough to try."""
    assert most * 10**6 == settings.MOST_PHOTOGRAPH_BYTES
    settings.MOST_PHOTOGRAPH_BYTES = 10**6
    upload = SimpleUploadedFile("a.png", b"\x89PNG\r\n\x1a\n" + bytes(10**6))
    said = words(client.post(add, {"photographs": upload}))
    settings.MOST_PHOTOGRAPH_BYTES = most * 10**6
    return said


def wide_refused(client, add):
    """Return what is said of a picture whose head names too many points."""
    file = io.BytesIO()
    Image.new("1", (9000, 9000)).save(file, "PNG")
    return words(client.post(add, {"photographs": SimpleUploadedFile("a.png", file.getvalue())}))


def test_an_import_that_is_larger_is_told_the_same(told, tmp_path):
    (mb,) = told["a CSV file for `sideshake import`"]
    path = tmp_path / "large.csv"
    with path.open("wb") as file:
        file.truncate(mb * 10**6 + 1)
    with pytest.raises(InputError, match=f"larger than the {mb} MB that are allowed"):
        imported.read_rows(path)


def test_the_clocks_recording_is_told_the_same(told, client):
    (minutes,) = told["a recording to check a sound clock by"]
    assert minutes == 60
    assert "an hour at most" in client.get("/clock/").text
