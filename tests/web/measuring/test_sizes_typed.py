"""Sizes typed as they are printed, and as they were read at the bench."""

import re

import pytest

from sideshake.web.models import Measurement


@pytest.mark.parametrize(
    ("typed", "value", "u", "shown"),
    [
        ("0,92 ± 0,01", 0.92, 0.005, "0.92 ± 0.01"),
        ("0.92+-0.01 mm", 0.92, 0.005, "0.92 ± 0.01"),
        ("0,92 ± 0,005 standard", 0.92, 0.005, "0.92 ± 0.01"),
        # a/sqrt 3 (GUM 4.3.7); the word stays, for no ± says the same
        ("0,92 ± 0,03 limit", 0.92, 0.0173205, "0.92 ± 0.03 limit"),
        # 0.920, 0.924, 0.922: s of the mean 0.001155, half of Student's 4.53; last digit 0.000289
        ("0,920, 0,924, 0,922", 0.922, 0.002631, "0.920; 0.924; 0.922"),
    ],
)
def test_a_size_is_typed_as_it_is_printed_or_as_it_was_read(client, visit, typed, value, u, shown):
    address = f"/visits/{visit.number}/measure/"
    assert client.post(address, {"above.hole_mm": typed}).status_code == 302
    row = Measurement.objects.get()
    assert (row.value, row.u) == (pytest.approx(value), pytest.approx(u, rel=1e-3))
    page = client.get(address).content.decode()
    assert f'value="{shown}"' in page
    again = {"above.hole_mm": shown, "seen.above.hole_mm": str(row.version)}
    assert client.post(address, again).status_code == 302  # pasted back it means the same
    row.refresh_from_db()
    assert (row.value, row.u) == (pytest.approx(value), pytest.approx(u, rel=1e-3))


def test_a_printed_size_is_pasted_back_from_the_visit(client, visit):
    address = f"/visits/{visit.number}/measure/"
    client.post(address, {"above.hole_mm": "0,9213 ± 0,0131"})
    printed = re.search(
        r"0\.\d+ ± 0\.\d+ mm", client.get(f"/visits/{visit.number}/").content.decode()
    )
    version = str(Measurement.objects.get().version)
    client.post(address, {"above.hole_mm": printed[0], "seen.above.hole_mm": version})
    page = client.get(f"/visits/{visit.number}/").content.decode()
    assert printed[0] in page


def test_the_same_sent_twice_is_no_quarrel(client, visit):
    address = f"/visits/{visit.number}/measure/"
    for _ in range(2):
        assert client.post(address, {"above.hole_mm": "0,920 0,924 0,922"}).status_code == 302
    assert client.post(address, {"above.hole_mm": "0,93"}).status_code == 409


def test_more_readings_than_are_kept_are_refused(client, visit):
    answer = client.post(f"/visits/{visit.number}/measure/", {"above.hole_mm": "0,9213 " * 12})
    assert answer.status_code == 422
    assert "give the mean and its ±" in answer.content.decode()
    assert not Measurement.objects.exists()
