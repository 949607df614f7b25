"""Control characters are refused in words at every address, whoever asks."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from filled_workshop import ALL

from sideshake.core.errors import InputError
from sideshake.movement.sheet_text import sheet_text
from sideshake.web.base.characters import FORBIDDEN
from sideshake.web.base.saving import save
from sideshake.web.models import Calibre, Change, Owner, User

HOSTILE = ("\0", "a\0b", "\x1b[2J", "\x7f", "\x85", "\uffff")
OPEN = {"sign-in", "sign-in-link"}


@pytest.fixture
def everywhere(path_of):
    return {name: path_of(name) for name in ALL}


def words(answer):
    return " ".join(answer.content.decode().split())


def test_no_address_takes_a_question_with_one(client, stranger, everywhere):
    before = Change.objects.count()
    for browser in (client, stranger):
        for at in everywhere.values():
            assert browser.get(f"{at}?q=a%00b").status_code == 400, at
        for query in ("a%00b=1", "page=%1b", "next=%c2%85"):
            answer = browser.get(f"/owners/?{query}")
            assert answer.status_code == 400
        assert "holds a control character, U+0085" in words(answer)
    assert Change.objects.count() == before


def test_no_address_takes_a_field_with_one(client, everywhere):
    before = Change.objects.count()
    for at in everywhere.values():
        answer = client.post(at, {"name": "a\0b"})
        assert answer.status_code == 422, at
        assert "holds a control character, U+0000" in words(answer), at
    assert client.post("/owners/new/", {"a\x1bb": "x"}).status_code == 422
    assert Change.objects.count() == before


def test_nobody_gets_further_with_one_than_without(stranger, everywhere):
    for name, at in everywhere.items():
        answer = stranger.post(at, {"name": "a\0b", "password": "\0", "next": "/\0"})
        assert answer.status_code == (422 if name in OPEN else 302), at
    said = words(stranger.post("/sign-in/", {"name": "the owner\0", "password": "x"}))
    assert "The field name holds a control character, U+0000, as letter 10;" in said


CONTROL = (
    "The address holds a control character, U+%s, as letter %d; letters, digits, signs and "
    "blanks are allowed; nothing was changed"
)
BREAK = (
    "The address is one line, and has a line break or tab, U+%s, as letter %d; write it in one "
    "line; nothing was changed"
)
SAID = {
    "/visits/a%00b/": CONTROL % ("0000", 10),
    "/sign-in/%00/": CONTROL % ("0000", 10),
    "/%0d%0a/": BREAK % ("000D", 2),
    "/calibres/%1b/": CONTROL % ("001B", 11),
}


@pytest.mark.parametrize("path", SAID)
def test_no_address_holds_one_itself(client, stranger, path, db):
    for browser in (client, stranger):
        answer = browser.get(path)
        assert answer.status_code == 400
        assert SAID[path] in words(answer)


@pytest.mark.parametrize("cookie", ['"\\000aaaaaaaaaaaaaaaa"', '"\\033aaaaaaaaaaaaaaaaa"'])
def test_a_cookie_with_one_counts_as_not_sent(db, cookie):
    sent = f"sideshake_session={cookie}; sideshake_csrf={cookie}; messages={cookie}"
    answer = Client().get("/", headers={"cookie": sent})
    assert (answer.status_code, answer.url) == (302, "/sign-in/?next=/")


@pytest.mark.parametrize("name", ["a\0.png", "a\x1b.wav", "..\\\0"])
def test_a_file_name_holds_none(client, visit, name):
    upload = SimpleUploadedFile("plain.png", b"no picture")
    upload.name = name
    answer = client.post(f"/visits/{visit.number}/photographs/add/", {"photographs": upload})
    assert answer.status_code == 422
    assert not FORBIDDEN.search(words(answer))


@pytest.mark.parametrize("text", HOSTILE)
def test_no_way_of_writing_stores_one(owner_of_workshop, text):
    for field in ("name", "address", "note"):
        with pytest.raises(InputError, match="holds a control character, U"):
            save(Owner(**{"name": "Ida", field: text}), owner_of_workshop)
    assert not Owner.objects.exists()


@pytest.mark.parametrize("text", HOSTILE)
def test_no_sheet_stores_one_that_toml_writes_with_other_letters(owner_of_workshop, text):
    """Such as \\u0000 in a file: PostgreSQL refuses the history that tells of the line."""
    row = Calibre(name="a", sheet=sheet_text({"name": "A", "kind": text}))
    with pytest.raises(InputError, match="sheet: kind holds a control character, U"):
        save(row, owner_of_workshop)
    assert not Calibre.objects.exists()
    row.sheet = sheet_text({"name": "A", "weak_points": ["a\nb", "Änne ↑"]})
    save(row, owner_of_workshop)


@pytest.mark.parametrize("text", ["a\nb", "a\tb", "a\rb"])
def test_lines_and_tabs_stand_where_there_are_several_lines(client, owner_of_workshop, text):
    for name in ("name", "phone"):
        with pytest.raises(InputError, match=f"{'telephone' if name == 'phone' else name} is one"):
            save(Owner(**{"name": "Ida", name: text}), owner_of_workshop)
    save(Owner(name="Ida", address=text, note=text), owner_of_workshop)
    answer = client.post("/people/new/", {"username": "bea", "role": "colleague",
                                          "first_name": f"x{text}"})  # fmt: skip
    assert "irst name is one line" in words(answer)
    assert not User.objects.filter(username="bea").exists()


@pytest.mark.parametrize("text", ["Änne ↑ 表", "שלום", "👩🏽‍🔧", "a\u00a0b", "O’Neill"])
def test_every_other_letter_is_taken(owner_of_workshop, text):
    save(Owner(name=text, note=text), owner_of_workshop)
    assert Owner.objects.get().name == text
