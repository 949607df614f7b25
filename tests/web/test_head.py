"""HEAD tells what GET would send, and sends nothing after it (RFC 9110, section 9.3.2)."""

import http.client

import pytest
from django.core.handlers.wsgi import WSGIHandler
from django.test import RequestFactory
from filled_workshop import ALL
from workshop_process import PATIENCE_S, Open

from .conftest import undone_after

LENGTH = "Content-Length"


@pytest.fixture
def ask(client, path_of):
    """Ask the application itself, as a server does: the test client would cut bodies off."""
    application, cookie = WSGIHandler(), client.cookies.output(header="", sep=";").strip()
    made = RequestFactory()

    def asked(name, method, **more):
        heads = {}

        def start(status, headers):
            heads.update(headers, status=status)

        request = made.generic(method, path_of(name), **more)
        environ = {**request.environ, "HTTP_COOKIE": cookie}
        with undone_after():
            answer = application(environ, start)
            body = b"".join(answer)
            answer.close()
        return heads, body

    return asked


def test_no_address_sends_a_body(ask):
    for name in ALL:
        heads, body = ask(name, "HEAD")
        assert body == b"", name
        told, whole = ask(name, "GET")
        assert heads["status"] == told["status"], name
        if LENGTH in told:
            assert int(told[LENGTH]) == len(whole), name
            if "Set-Cookie" not in told:  # a form's token is another one each time, as long
                assert heads.get(LENGTH) == told[LENGTH], name


def test_a_part_of_a_recording_is_told_and_not_sent(ask):
    heads, body = ask("recording-file", "HEAD", HTTP_RANGE="bytes=10-19")
    assert (heads["status"], heads[LENGTH], body) == ("206 Partial Content", "10", b"")


def test_what_is_refused_sends_none_either(ask):
    heads, body = ask("visit", "HEAD", HTTP_HOST="evil.example")
    assert (heads["status"], body) == ("400 Bad Request", b"")
    assert int(heads[LENGTH]) > 0


def test_the_server_sends_none(tmp_path):
    opened = Open(tmp_path / "data")
    line = http.client.HTTPConnection(opened.base.removeprefix("http://"), timeout=PATIENCE_S)
    try:
        for path in ("/sign-in/", "/nowhere/", "/static/bench/bench.css"):
            line.request("HEAD", path)
            answer = line.getresponse()
            assert answer.read() == b""
            length = answer.headers[LENGTH]
            line.request("GET", path)  # on the same line: a stray body would spoil it
            assert str(len(line.getresponse().read())) == length
    finally:
        line.close()
        opened.kill()
