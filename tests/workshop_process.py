"""The workshop as a real process, and a browser of a few lines that is signed in."""

import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import urllib.error
import urllib.parse
import urllib.request
from dataclasses import dataclass, field
from functools import cache
from html.parser import HTMLParser
from http.cookiejar import CookieJar
from pathlib import Path

from own_database import named

RUN = [sys.executable, "-c", "from sideshake.command.main import main; main()"]
PATIENCE_S = 60
BETWEEN = "between-the-parts-7d1f0c5a93b2"


def environment(data, **more):
    """Return a child's environment: a folder of its own, and the database that the tests use."""
    kept = {k: v for k, v in os.environ.items() if not k.startswith("SIDESHAKE_")}
    kept.pop("DATABASE_URL", None)
    kept.pop("DJANGO_SETTINGS_MODULE", None)
    return {**kept, "SIDESHAKE_DATA": str(data), "PYTHONWARNINGS": "", **more}


def run(data, *tokens, way=RUN, **more):
    """Return what one command answered."""
    return subprocess.run(
        [*way, *tokens],
        env=environment(data, **more),
        capture_output=True,
        text=True,
        timeout=PATIENCE_S,
        check=False,
    )


def program(data, code, *tokens, address=""):
    """Return what a program of its own answered that works in a workshop's records."""
    known = {"DJANGO_SETTINGS_MODULE": "sideshake.web.settings", **named(address)}
    return run(data, *tokens, way=[sys.executable, "-c", code], **known)


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


BEGUN = ("workshop.sqlite3", "secret")
"""What a first start leaves: records of the workshop and its owner, and what signs the cookies."""


@cache
def begun():
    """Return a folder with what a first start leaves; to begin anew takes 2 s of every start."""
    kept = tempfile.TemporaryDirectory()
    Open(Path(kept.name) / "data", first=True).close()
    return kept


def begin(data):
    """Put what a first start leaves where no folder is yet."""
    if not data.exists():
        data.mkdir(parents=True)
        for name in BEGUN:
            shutil.copy(Path(begun().name) / "data" / name, data)


class Open:
    """An open workshop, and a browser that is signed in.

    A folder that there is not yet is as a first start leaves it, unless it is this start itself
    that is tried, or its database is named.
    """

    def __init__(self, data, *tokens, run=RUN, first=False, **more):
        self.data = data
        if not first and "DATABASE_URL" not in more:
            begin(data)
        self.process = subprocess.Popen(
            [*run, "bench", "--no-browser", *(tokens or ("--port", str(free_port())))],
            env=environment(data, **more),
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        self.said = []
        for line in self.process.stdout:
            self.said.append(line.strip())
            if line.startswith("Ctrl-C"):
                break
        text = "\n".join(self.said)
        found = re.search(r"(http://[^ ]+)(/sign-in/[\w-]+/)", text)
        assert found, (text, self.process.stderr.read())
        self.base, self.link = found.groups()
        self.text = text
        self.cookies = CookieJar()
        self.browser = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(self.cookies))

    def get(self, path):
        return self.browser.open(self.base + path, timeout=PATIENCE_S).read().decode()

    def form(self, path):
        """Return what all forms of a page would send if nobody typed or pressed anything."""
        shown = [each.shown for each in Forms(self.get(path)).found]
        return {name: text for each in shown for name, text in each.items()}

    def send(self, path, body, kind="application/x-www-form-urlencoded"):
        request = urllib.request.Request(self.base + path, body, {"Content-Type": kind})
        try:
            answer = self.browser.open(request, timeout=PATIENCE_S)
        except urllib.error.HTTPError as refused:
            answer = refused
        with answer:
            return answer.status, answer.read().decode()

    def post(self, path, form=None, **typed):
        """Send a page's form as a browser would; return status and page."""
        shown = {**(form or self.form(path)), **typed}
        return self.send(path, urllib.parse.urlencode(shown).encode())

    def upload(self, path, name, data):
        """Send a file with a page's form."""
        part = f"--{BETWEEN}\r\nContent-Disposition: form-data; name="
        parts = [
            *(f'{part}"{key}"\r\n\r\n{text}\r\n'.encode() for key, text in self.form(path).items()),
            f'{part}"{name}"; filename="a.png"\r\nContent-Type: image/png\r\n\r\n'.encode(),
            data + f"\r\n--{BETWEEN}--\r\n".encode(),
        ]
        return self.send(path, b"".join(parts), f"multipart/form-data; boundary={BETWEEN}")

    def new_visit(self):
        """Take in a watch; return the address of its visit."""
        typed = {"owner-name": "Ida Fenn", "watch-title": "silver hunter"}
        status, page = self.post("/visits/new/", **typed)
        assert status == 200, page
        return re.search(r'"(/visits/[\w-]+/)arrival/"', page).group(1)

    def come_in(self):
        assert self.post(self.link)[0] == 200
        return self

    def kill(self):
        self.process.kill()
        self.end()

    def close(self):
        self.process.send_signal(signal.SIGINT)
        return self.end()

    def end(self):
        rest, errors = self.process.communicate(timeout=PATIENCE_S)
        return self.process.returncode, rest, errors


@dataclass
class Form:
    """One form of a page: how and where it is sent, and what it sends if nobody typed anything."""

    method: str
    action: str
    shown: dict[str, str] = field(default_factory=dict)
    pressed: dict[str, str] = field(default_factory=dict)
    """What its buttons would add; of several with one name the first."""


class Forms(HTMLParser):
    """The forms of a page that was found at an address."""

    def __init__(self, page, at=""):
        super().__init__()
        self.at, self.found, self.form = at, [], None
        self.select, self.area = "", ""
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        given = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.form = Form(given.get("method", "get"), given.get("action") or self.at)
            self.found.append(self.form)
        elif self.form:
            self.note(tag, given, given.get("name", ""))

    def note(self, tag, given, name):
        value, shown = given.get("value", ""), self.form.shown
        if tag == "select":
            self.select = name
        elif tag == "option" and self.select:
            if "selected" in given or self.select not in shown:
                shown[self.select] = value
        elif tag == "textarea":
            self.area = name
            shown[name] = ""
        elif tag == "button" and name:
            self.form.pressed.setdefault(name, value)
        elif tag == "input" and name and given.get("type") in ("checkbox", "radio"):
            if "checked" in given:
                shown[name] = given.get("value", "on")
        elif tag == "input" and name and given.get("type") not in ("file", "submit"):
            shown[name] = value

    def handle_data(self, data):
        if self.area:
            shown = self.form.shown
            shown[self.area] = (shown[self.area] + data).removeprefix("\n")

    def handle_endtag(self, tag):
        if tag == "form":
            self.form = None
        elif tag == "textarea":
            self.area = ""
        elif tag == "select":
            self.select = ""
