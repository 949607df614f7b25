"""Photographs: taken in without their place, marked, shown, removed."""

import io
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from sideshake.bench.models import Photograph

GPS = 0x8825


def jpeg(colour="#c9b98f", *, place=False, orientation=1, size=(800, 600)) -> bytes:
    image, exif = Image.new("RGB", size, colour), Image.Exif()
    exif[0x0112] = orientation
    if place:
        exif.get_ifd(GPS).update({1: "N", 2: (47.0, 22.0, 33.0), 3: "E", 4: (8.0, 32.0, 30.0)})
    written = io.BytesIO()
    image.save(written, "JPEG", exif=exif)
    return written.getvalue()


def upload(client, visit, *files: bytes, name="front.jpg"):
    given = [SimpleUploadedFile(name, data, "image/jpeg") for data in files]
    return client.post(f"/visits/{visit.number}/photographs/add/", {"photographs": given})


@pytest.fixture
def photograph(client, visit):
    upload(client, visit, jpeg())
    return Photograph.objects.get()


def test_several_photographs_go_in_at_once(client, visit):
    assert upload(client, visit, jpeg(), jpeg("#1f2f4a")).status_code == 302
    assert Photograph.objects.count() == 2


def test_the_place_is_gone_from_what_is_given_out(client, visit):
    upload(client, visit, jpeg(place=True))
    found = Photograph.objects.get()
    data = b"".join(client.get(f"/photographs/{found.pk}/original/").streaming_content)
    assert not Image.open(io.BytesIO(data)).getexif().get_ifd(GPS)


def test_a_turned_photograph_is_shown_upright(client, visit):
    upload(client, visit, jpeg(orientation=6))
    found = Photograph.objects.get()
    assert (found.width_px, found.height_px) == (600, 800)
    small = b"".join(client.get(f"/photographs/{found.pk}/small/").streaming_content)
    assert Image.open(io.BytesIO(small)).size == (240, 320)


def test_no_path_comes_from_the_users_file_name(client, visit, data):
    upload(client, visit, jpeg(), name="../../../evil.php")
    stored = Photograph.objects.get().stored
    assert stored.endswith((".jpg", ".jpeg"))
    assert "evil" not in stored
    assert not list(Path(data).rglob("*evil*"))


def test_a_refused_file_is_named_and_the_good_one_is_kept(client, visit):
    answer = upload(client, visit, b"no picture", jpeg())
    assert answer.status_code == 422
    assert "front.jpg:" in answer.content.decode()
    assert Photograph.objects.count() == 1


def test_a_picture_is_not_stored_twice_at_one_visit(client, visit):
    answer = upload(client, visit, jpeg(), jpeg())
    assert "not stored twice" in answer.content.decode()
    assert Photograph.objects.count() == 1


def test_too_many_pixels_are_refused_before_they_are_unpacked(client, visit, settings):
    settings.MOST_PHOTOGRAPH_PIXELS = 1000
    assert upload(client, visit, jpeg()).status_code == 422
    assert not Photograph.objects.exists()


def test_nothing_chosen_is_said(client, visit):
    answer = client.post(f"/visits/{visit.number}/photographs/add/", {})
    assert "choose one or more" in answer.content.decode()


def test_a_point_is_written_where_it_was_tapped(client, photograph):
    page = client.get(f"/photographs/{photograph.pk}/", {"tap.x": "200", "tap.y": "300"})
    assert page.context["tapped"] == {"across": 25.0, "down": 50.0}
    given = {"across": "25,0", "down": "50", "text": "scratch", "seen": photograph.version}
    client.post(f"/photographs/{photograph.pk}/points/", given)
    photograph.refresh_from_db()
    assert photograph.marks == [{"across": 0.25, "down": 0.5, "text": "scratch", "grave": False}]


def test_the_second_of_two_who_mark_a_photograph_is_told(client, photograph):
    given = {"across": "10", "down": "10", "text": "chip", "seen": photograph.version}
    assert client.post(f"/photographs/{photograph.pk}/points/", given).status_code == 302
    assert client.post(f"/photographs/{photograph.pk}/points/", given).status_code == 409


@pytest.mark.parametrize("given", [{"across": "120"}, {"text": " "}, {"down": "left"}])
def test_a_point_that_cannot_be_is_refused_in_words(client, photograph, given):
    typed = {"across": "10", "down": "10", "text": "chip", "seen": photograph.version, **given}
    assert client.post(f"/photographs/{photograph.pk}/points/", typed).status_code == 422


def test_a_point_can_be_taken_away(client, photograph):
    given = {"across": "10", "down": "10", "text": "chip", "seen": photograph.version}
    client.post(f"/photographs/{photograph.pk}/points/", given)
    photograph.refresh_from_db()
    client.post(f"/photographs/{photograph.pk}/points/0/remove/", {"seen": photograph.version})
    photograph.refresh_from_db()
    assert photograph.marks == []


def test_removing_the_last_use_removes_the_files(client, photograph, data):
    client.post(f"/photographs/{photograph.pk}/remove/", {"seen": photograph.version})
    assert not Photograph.objects.exists()
    assert not [path for path in Path(data).rglob("*") if path.suffix in (".jpg", ".jpeg")]


def test_order_can_be_changed(client, visit):
    upload(client, visit, jpeg(), jpeg("#1f2f4a"))
    first, second = Photograph.objects.all()
    client.post(f"/photographs/{second.pk}/shift/", {"way": "earlier"})
    assert list(Photograph.objects.values_list("pk", flat=True)) == [second.pk, first.pk]


def test_a_missing_copy_is_made_again(client, photograph, data):
    for path in Path(data).rglob("*-small.jpg"):
        path.unlink()
    assert b"".join(client.get(f"/photographs/{photograph.pk}/small/").streaming_content)


def test_photographs_open_to_no_stranger_and_ask_few_questions(
    client, stranger, photograph, django_assert_max_num_queries
):
    for page in ("", "small/", "original/"):
        address = f"/photographs/{photograph.pk}/{page}"
        assert stranger.get(address).status_code == 302
        with django_assert_max_num_queries(15):
            answer = client.get(address)
        assert answer.status_code == 200
        b"".join(answer)  # read to the end, which closes the file
