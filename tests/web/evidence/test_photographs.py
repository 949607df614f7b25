"""Photographs: taken in without their place, marked, shown, removed."""

import io
import os
import re
import time
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from sideshake.photo.intake import freed
from sideshake.photo.opening import Limits
from sideshake.web.evidence.photographs import store_files
from sideshake.web.models import Photograph, Removed, User, Visit
from sideshake.web.start import news_of, open_workshop
from sideshake.web.storage.backup import write_backup
from sideshake.web.storage.restore import restore
from sideshake.web.storage.stray import put_aside
from tests.photo.samples import saved

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


def test_more_than_a_hundred_at_once_are_refused_whole(client, visit):
    assert upload(client, visit, *[jpeg(size=(8, 6))] * 101).status_code == 400
    assert not Photograph.objects.exists()


def test_nothing_chosen_is_said(client, visit):
    answer = client.post(f"/visits/{visit.number}/photographs/add/", {})
    assert "Choose one or more" in answer.content.decode()


def typed(photograph, **changed):
    return {"across": "10", "down": "10", "text": "chip", "seen": photograph.version, **changed}


def add_point(client, photograph, **changed):
    answer = client.post(f"/photographs/{photograph.pk}/points/", typed(photograph, **changed))
    photograph.refresh_from_db()
    return answer


def test_a_press_without_script_fills_the_form_where_the_picture_was_pressed(client, photograph):
    page = client.get(f"/photographs/{photograph.pk}/", {"tap.x": "160", "tap.y": "240"})
    assert page.context["form"]["across"].value() == "25"
    assert page.context["form"]["down"].value() == "50"


def test_a_press_on_a_tall_picture_counts_in_its_own_width(client, visit):
    upload(client, visit, jpeg(size=(600, 800)))
    page = client.get(
        f"/photographs/{Photograph.objects.get().pk}/", {"tap.x": "420", "tap.y": "140"}
    )
    assert page.context["form"]["across"].value() == "100"
    assert page.context["form"]["down"].value() == "25"


def test_a_point_is_kept_with_its_place_and_text(client, photograph):
    answer = add_point(client, photograph, across="25,5", down="50", text=" scratch ", grave="on")
    assert answer.url == f"/photographs/{photograph.pk}/"
    assert photograph.marks == [{"across": 0.255, "down": 0.5, "text": "scratch", "grave": True}]


def test_points_are_numbered_in_picture_and_list(client, photograph):
    add_point(client, photograph, text="chip at four")
    add_point(client, photograph, text="hand loose", grave="on")
    page = client.get(f"/photographs/{photograph.pk}/").content.decode()
    assert page.count('class="point') == 2
    assert ">2</text>" in page
    assert page.index("chip at four") < page.index("hand loose")


def test_the_second_of_two_who_mark_a_photograph_is_told_and_keeps_the_words(client, photograph):
    first = typed(photograph)
    assert client.post(f"/photographs/{photograph.pk}/points/", first).status_code == 302
    second = {**first, "text": "dent in the rim"}
    answer = client.post(f"/photographs/{photograph.pk}/points/", second)
    assert answer.status_code == 409
    page = answer.content.decode()
    assert "has changed this meanwhile" in page
    assert 'value="dent in the rim"' in page
    again = {**second, "seen": answer.context["form"]["seen"].value()}
    client.post(f"/photographs/{photograph.pk}/points/", again)
    photograph.refresh_from_db()
    assert [mark["text"] for mark in photograph.marks] == ["chip", "dent in the rim"]


@pytest.mark.parametrize("given", [{"across": "120"}, {"text": " "}, {"down": "left"}])
def test_a_point_that_cannot_be_is_refused_and_what_was_typed_stays(client, photograph, given):
    answer = add_point(client, photograph, **given)
    assert answer.status_code == 422
    assert photograph.marks == []
    for name, value in typed(photograph, **given).items():
        assert answer.context["form"][name].value() in (str(value), value)


def test_a_point_can_be_changed(client, photograph):
    add_point(client, photograph)
    address = f"/photographs/{photograph.pk}/points/0/"
    shown = client.get(address).context["form"]
    assert (shown["text"].value(), shown["across"].value()) == ("chip", "10")
    client.post(address, typed(photograph, text="crack", down="20", was="chip"))
    photograph.refresh_from_db()
    assert photograph.marks == [{"across": 0.1, "down": 0.2, "text": "crack", "grave": False}]


def test_a_point_that_is_another_by_now_is_not_written_over(client, photograph):
    add_point(client, photograph)
    address = f"/photographs/{photograph.pk}/points/0/"
    answer = client.post(address, typed(photograph, text="crack", was="what it was before"))
    assert answer.status_code == 422
    photograph.refresh_from_db()
    assert photograph.marks[0]["text"] == "chip"


def test_a_point_that_is_gone_leads_to_the_photograph(client, photograph):
    assert client.get(f"/photographs/{photograph.pk}/points/7/").status_code == 302


def test_a_point_can_be_taken_away(client, photograph):
    add_point(client, photograph)
    client.post(f"/photographs/{photograph.pk}/points/0/remove/", {"seen": photograph.version})
    photograph.refresh_from_db()
    assert photograph.marks == []


def test_a_point_is_not_taken_away_from_under_somebody(client, photograph):
    seen = photograph.version
    add_point(client, photograph)
    address = f"/photographs/{photograph.pk}/points/0/remove/"
    assert client.post(address, {"seen": seen}).status_code == 409
    photograph.refresh_from_db()
    assert len(photograph.marks) == 1


def test_what_a_photograph_shows_can_be_written_and_found(client, photograph):
    address = f"/photographs/{photograph.pk}/caption/"
    assert client.get(address).status_code == 200
    client.post(address, {"caption": "Dial in raking light", "seen": photograph.version})
    assert 'alt="Dial in raking light"' in client.get("/visits/2026-001/").content.decode()
    assert "2026-001" in client.get("/search/?q=raking").content.decode()


def test_one_photograph_of_a_visit_opens_the_report(client, visit):
    upload(client, visit, jpeg(), jpeg("#1f2f4a"))
    for each in Photograph.objects.all():
        given = {"caption": "x", "opens_report": "on", "seen": each.version}
        client.post(f"/photographs/{each.pk}/caption/", given)
    first, second = Photograph.objects.all()
    assert (first.opens_report, second.opens_report) == (False, True)


def test_a_removed_photograph_leaves_its_files_so_that_it_can_be_taken_back(
    client, photograph, data
):
    before = sorted(path for path in Path(data).rglob("*") if path.suffix in (".jpg", ".jpeg"))
    client.post(f"/photographs/{photograph.pk}/remove/", {"seen": photograph.version})
    assert not Photograph.objects.exists()
    left = sorted(path for path in Path(data).rglob("*") if path.suffix in (".jpg", ".jpeg"))
    assert left == before
    client.post(f"/removed/{Removed.objects.get().pk}/take-back/")
    assert Photograph.objects.get().sha256 == photograph.sha256


def test_order_can_be_changed(client, visit):
    upload(client, visit, jpeg(), jpeg("#1f2f4a"))
    first, second = Photograph.objects.all()
    client.post(f"/photographs/{second.pk}/shift/", {"way": "earlier"})
    assert list(Photograph.objects.values_list("pk", flat=True)) == [second.pk, first.pk]


def test_photographs_before_and_after_are_a_key_away(client, visit):
    upload(client, visit, jpeg(), jpeg("#1f2f4a"))
    first, second = Photograph.objects.all()
    page = client.get(f"/photographs/{first.pk}/").content.decode()
    assert f'data-key="ArrowRight" href="/photographs/{second.pk}/"' in page
    assert "ArrowLeft" not in page


def test_the_files_stay_as_long_as_another_visit_shows_them(client, visit, watch, data):
    other = Visit.objects.create(
        number="2026-002", watch=watch, arrived_on=visit.arrived_on, step_since=visit.arrived_on
    )
    upload(client, visit, jpeg())
    upload(client, other, jpeg())
    first, second = Photograph.objects.all()
    client.post(f"/photographs/{first.pk}/remove/", {"seen": first.version})
    answer = client.get(f"/photographs/{second.pk}/original/")
    assert b"".join(answer.streaming_content)


def test_an_animation_is_kept_and_said_to_show_its_first_picture(client, visit):
    written = io.BytesIO()
    frames = [Image.new("RGB", (40, 30), colour) for colour in ("#fff", "#777", "#000")]
    frames[0].save(written, "WEBP", save_all=True, append_images=frames[1:])
    upload(client, visit, written.getvalue())
    page = client.get(f"/visits/{visit.number}/").content.decode()
    assert "only the first is shown" in page


@pytest.mark.parametrize("kind", ["PNG", "WEBP", "HEIF"])
def test_every_kind_is_shown_as_jpeg_and_heic_is_only_downloaded(client, visit, kind):
    written = saved(kind, Image.new("RGB", (400, 300), "#7a5515"))
    upload(client, visit, written)
    found = Photograph.objects.get()
    large = client.get(f"/photographs/{found.pk}/large/")
    assert large.headers["Content-Type"] == "image/jpeg"
    assert Image.open(io.BytesIO(b"".join(large.streaming_content))).format == "JPEG"
    original = client.get(f"/photographs/{found.pk}/original/")
    way = "attachment" if kind == "HEIF" else "inline"
    assert original.headers["Content-Disposition"].startswith(way)
    assert b"".join(original.streaming_content) == written


def test_a_photograph_is_kept_by_the_browser_and_by_no_shared_cache(client, photograph):
    page = client.get(f"/visits/{photograph.visit.number}/").content.decode()
    (address,) = re.findall(r'src="(/photographs/\d+/small/[^"]*)"', page)
    assert address.endswith(f"?{photograph.sha256[:16]}")
    answer = client.get(address)
    assert answer.headers["Cache-Control"] == "private, max-age=31536000, immutable"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    answer.close()


def test_an_address_without_the_hash_is_asked_for_anew_each_time(client, photograph):
    answer = client.get(f"/photographs/{photograph.pk}/small/")
    assert answer.headers["Cache-Control"] == "private, no-cache"
    answer.close()


def test_after_a_restore_no_other_picture_stands_at_an_address_that_was_kept(
    client, visit, tmp_path
):
    def address():
        page = client.get(f"/visits/{visit.number}/").content.decode()
        return re.search(r'src="(/photographs/\d+/small/[^"]*)"', page)[1]

    upload(client, visit, jpeg("#9b1b30"))
    write_backup(tmp_path / "first.zip")
    at_first = address()
    Photograph.objects.all().delete()
    upload(client, visit, jpeg("#1b309b"))
    Photograph.objects.update(id=int(at_first.split("/")[2]))  # as another workshop numbers it
    since = address()
    assert at_first.split("?")[0] == since.split("?")[0]
    assert at_first != since
    refused = client.get(at_first)
    assert refused.status_code == 404
    assert "no such picture any more" in refused.content.decode()
    restore(tmp_path / "first.zip", replace=True)
    client.force_login(User.objects.get())
    assert address() == at_first
    assert client.get(since).status_code == 404
    assert b"".join(client.get(at_first).streaming_content)


def test_a_photograph_without_record_is_put_aside_not_thrown_away(client, photograph, data):
    kept = freed(jpeg("#9b1b30"), limits=Limits())
    lost = store_files(kept)
    found = put_aside(before_s=time.time() + 1)
    assert (found.count, found.size_bytes) == (1, len(kept.data))
    assert (data / "files" / "unclaimed" / lost.name).read_bytes() == kept.data
    assert len(list(lost.parent.iterdir())) == 3  # those of the photograph with a record
    assert put_aside(before_s=time.time() + 1).count == 0


def test_a_photograph_that_is_just_being_stored_is_left_alone(client, data, db):
    lost = store_files(freed(jpeg(), limits=Limits()))
    assert put_aside(before_s=lost.stat().st_mtime - 60).count == 0
    assert lost.exists()


def test_a_missing_copy_is_made_again(client, photograph, data):
    for path in Path(data).rglob("*-small.jpg"):
        path.unlink()
    assert b"".join(client.get(f"/photographs/{photograph.pk}/small/").streaming_content)


def test_photographs_open_to_no_stranger_and_ask_few_questions(
    client, stranger, photograph, django_assert_max_num_queries
):
    for page in ("", "caption/", "points/", "small/", "original/"):
        address = f"/photographs/{photograph.pk}/{page}"
        assert stranger.get(address).status_code == 302
        with django_assert_max_num_queries(15):
            answer = client.get(address)
        assert answer.status_code == 200
        b"".join(answer)  # read to the end, which closes the file


def test_a_start_after_a_bad_end_tells_of_photographs_without_record(client, data):
    stored = store_files(freed(jpeg(), limits=Limits()))
    os.utime(stored, (0, 0))  # on a shared database only what is older than an hour is touched
    told = news_of(open_workshop(ended_badly=True), ended_badly=True)
    assert "Files whose record was never written: 1." in " ".join(told)
    assert len(list((data / "files" / "unclaimed").iterdir())) == 1
