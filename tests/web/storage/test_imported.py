"""Owners and watches from a CSV file: told first, then all or none."""

import pytest

from sideshake.core.errors import InputError
from sideshake.web.models import Change, Owner, Watch
from sideshake.web.storage.imported import KNOWN, Refused
from sideshake.web.storage.taking_in import import_owners

HEAD = "owner,email,watch,movement_serial,year_from,year_to,lume\n"


@pytest.fixture
def take(tmp_path, db):
    def taken(text, *, dry_run=False, encoding="utf-8"):
        path = tmp_path / "owners.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode(encoding))
        return [line.what for line in import_owners(path, by=None, dry_run=dry_run)]

    return taken


def test_new_owners_and_watches_are_written_with_their_history(take):
    said = take(HEAD + "Änne Lothwick,a@example.org,silver hunter,123,1920,1930,dead\n")
    assert said == ["new owner, new watch"]
    watch = Watch.objects.get()
    assert (watch.owner.name, watch.year_from, watch.lume) == ("Änne Lothwick", 1920, "dead")
    assert Change.objects.filter(what__startswith="imported").count() == 2


def test_the_same_owner_is_found_without_accents_and_capitals(take):
    Owner.objects.create(name="Änne Lothwick", email="a@example.org", phone="1")
    said = take(HEAD + "ANNE LOTHWICK,,diver,,,,\nanne lothwick,A@example.org,diver,,,,\n")
    assert said == ["same owner, new watch", "same owner, same watch"]
    assert Owner.objects.get().phone == "1"


def test_another_email_is_another_owner_and_two_of_a_name_are_told(take):
    Owner.objects.create(name="Ida Fenn", email="one@example.org")
    assert take("owner,email\nIda Fenn,two@example.org\n") == ["new owner"]
    with pytest.raises(Refused) as refused:
        take("owner\nIda Fenn\n")
    assert "2 owners are called Ida Fenn" in refused.value.lines[0].what


def test_a_second_import_changes_nothing(take):
    text = HEAD + "Ida Fenn,,diver,7,,,\nBarnaby Quill,,,,,,\n"
    assert take(text) == ["new owner, new watch", "new owner"]
    before = list(Owner.objects.values()), list(Watch.objects.values()), Change.objects.count()
    assert take(text) == ["same owner, same watch", "same owner"]
    assert before == (
        list(Owner.objects.values()),
        list(Watch.objects.values()),
        Change.objects.count(),
    )


def test_a_dry_run_tells_the_same_and_writes_nothing(take):
    text = HEAD + "Ida Fenn,,diver,7,,,\nIda Fenn,,diver,7,,,\n,,,,,,x\n"
    said = take(text, dry_run=True)
    assert said[:2] == ["new owner, new watch", "same owner, same watch"]
    assert not Owner.objects.exists()
    assert not Change.objects.exists()


@pytest.mark.parametrize(
    ("line", "why"),
    [
        (",a@example.org,,,,,", "owner: This field cannot be blank"),
        ("Ida,not-an-address,,,,,", "email: Enter a valid email address"),
        ("Ida,,,77,,,", "watch (what we call it) is empty"),
        ("Ida,,diver,,about 1960,,", "year_from:"),
        ("Ida,,diver,,1970,1960,", "comes after year_to"),
        ("Ida,,diver,,,,bright", "lume: Value 'bright' is not a valid choice"),
        ("Ida\0,,,,,,", "owner holds a control character, U+0000, as letter 4"),
        ('"Ida\nFenn",,,,,,', "owner is one line, and has a line break or tab, U+000A"),
        ("I" * 161 + ",,,,,,", "owner: Ensure this value has at most 160 characters"),
    ],
)
def test_one_line_that_cannot_be_taken_keeps_all_out(take, line, why):
    text = HEAD + "Barnaby Quill,,diver,,,,\n" + line + "\n"
    with pytest.raises(Refused, match="1 of 2 lines cannot be taken") as refused:
        take(text)
    assert why in refused.value.lines[1].what
    assert refused.value.lines[1].number == 3
    assert not Owner.objects.exists()


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig"])
@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_separators_and_encodings_are_told_apart(take, encoding, separator, end):
    text = f'Owner{separator}Owner note{end}Ida{separator}"one{separator} two"{end}{end}'
    assert take(text, encoding=encoding) == ["new owner"]
    assert Owner.objects.get().note == f"one{separator} two"


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "no column owner"),
        ("name\nIda\n", "column 'name' that is not known"),
        ("owner,owner\nA,B\n", "names a column twice"),
        ("owner,watch\nA\n", "line 2 has 1 cells, the first line has 2"),
        ('owner\n"Ida\n', "is no CSV"),
        ("owner\nJürg\n".encode("latin-1"), "not written in UTF-8"),
        (b"\x89PNG\r\n\x1a\n\xff\xfe", "not written in UTF-8"),
    ],
)
def test_a_file_that_cannot_be_read_is_told_in_a_sentence(take, text, why):
    with pytest.raises(InputError, match=why):
        take(text)


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("owner,email\nIda,\nBea,no\n", 3),
        ("\n\nowner,email\n\nIda,\n,\n  \nBea,no\n", 8),
        ('owner,owner_note,email\r\nIda,"one\r\n\r\ntwo",\r\nBea,,no\r\n', 5),
        ('owner,owner_note,email\n\nBea,"one\ntwo",no\n', 3),
    ],
)
def test_a_line_is_told_by_its_number_in_the_file_where_blank_lines_count(take, text, number):
    with pytest.raises(Refused) as refused:
        take(text)
    assert [line.number for line in refused.value.lines if line.wrong] == [number]
    longer = text.replace(",no", ",no,more")
    with pytest.raises(InputError, match=f"line {number} has"):
        take(longer)


def test_every_column_is_told_of(pytestconfig):
    told = (pytestconfig.rootpath / "docs" / "export.md").read_text("utf-8")
    assert [name for name in KNOWN if f"| `{name}` |" not in told] == []
