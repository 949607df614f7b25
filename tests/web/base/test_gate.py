"""A stranger stops nothing: who asks is known before the body is taken, and nobody dawdles."""

import os
import socket
import time

import pytest
from workshop_process import PATIENCE_S, Open

from sideshake.web.base import gate

HALF = b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Slow: "
MUCH = 40 * 1024**2


@pytest.fixture
def opened(tmp_path):
    workshop = Open(tmp_path / "data")
    yield workshop
    workshop.kill()


def connected(opened):
    host, port = opened.base.removeprefix("http://").split(":")
    return socket.create_connection((host, int(port)), timeout=PATIENCE_S)


def sent(opened, head, size):
    """Send a head and so many bytes; return how many went out, and the first line that came."""
    with connected(opened) as line:
        line.sendall(head)
        gone, piece = 0, b"x" * 65536
        try:
            while gone < size:
                gone += line.send(piece)
        except OSError:
            pass
        try:
            return gone, line.recv(4096).split(b"\r\n")[0]
        except OSError:
            return gone, b""


def taken(opened):
    """Return the bytes that lie in the folder for what is being uploaded."""
    folder = opened.data / "uploading"
    return sum(path.stat().st_size for path in folder.rglob("*") if path.is_file())


@pytest.mark.parametrize(
    "more",
    [
        f"Content-Length: {MUCH}",
        "Transfer-Encoding: chunked",
        f"Content-Length: {MUCH}\r\nCookie: sideshake_session=0123456789abcdef0123456789abcdef",
    ],
)
def test_a_stranger_sends_no_upload(opened, more):
    head = f"POST /visits/2026-001/recordings/add/ HTTP/1.1\r\nHost: 127.0.0.1\r\n{more}\r\n\r\n"
    gone, said = sent(opened, head.encode(), MUCH)
    assert gone < MUCH / 4
    assert said == b"" or said.split()[1] in (b"413", b"400")
    assert taken(opened) == 0


def test_who_has_signed_in_sends_as_before(opened):
    opened.come_in()
    body = os.urandom(300_000)
    cookies = "; ".join(f"{each.name}={each.value}" for each in opened.cookies)
    head = (
        "POST /nothing/ HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n"
        f"Content-Length: {len(body)}\r\nCookie: {cookies}\r\n\r\n"
    )
    with connected(opened) as line:
        line.sendall(head.encode() + body)
        said = line.recv(4096).split(b"\r\n")[0]
    assert said.split()[1] in (b"403", b"404")  # taken in whole, then answered by the workshop


def test_two_hundred_half_sent_requests_keep_nobody_out(opened):
    opened.come_in()
    lines = [connected(opened) for _each in range(200)]
    for each in lines:
        each.sendall(HALF)
    began = time.monotonic()
    assert "In the workshop" in opened.get("/")
    assert time.monotonic() - began < 10
    for each in lines:
        each.close()


class Line:
    def __init__(self, host):
        self.addr = (host, 1)


@pytest.mark.parametrize(
    ("host", "others", "too_many"),
    [
        ("192.0.2.1", gate.MOST_FROM_ONE, False),
        ("192.0.2.1", gate.MOST_FROM_ONE + 1, True),
        ("127.0.0.1", gate.MOST_FROM_ONE + 1, False),
    ],
)
def test_one_other_computer_has_so_many_connections(host, others, too_many):
    assert gate.has_too_many((host, 1), [Line(host)] * others) is too_many


@pytest.mark.parametrize(
    ("headers_finished", "stranger", "completed", "age_s", "slow"),
    [
        (False, False, False, 21, True),
        (False, False, False, 19, False),
        (True, True, False, 61, True),
        (True, False, False, 600, False),
        (True, True, True, 61, False),
    ],
)
def test_a_request_may_take_so_long(
    monkeypatch, headers_finished, stranger, completed, age_s, slow
):
    guard = gate.Guard(None)
    guard.headers_finished, guard.stranger, guard.completed = headers_finished, stranger, completed
    monkeypatch.setattr(time, "monotonic", lambda: guard.begun_s + age_s)
    assert guard.is_too_slow() is slow


@pytest.mark.parametrize(
    "cookies",
    ["", "a=b", "sideshake_session=", "sideshake_session=\x00;;=", "sideshake_session=" + "a" * 32],
)
def test_a_made_up_cookie_opens_nothing(db, cookies):
    assert not gate.is_signed_in(cookies)


def test_the_cookie_of_somebody_signed_in_does(client):
    name = "sideshake_session"
    assert gate.is_signed_in(f"x=y; {name}={client.cookies[name].value}")
