"""`sideshake show`: nothing without consent, nothing that tells too much, else a folder."""

import json
from datetime import date

import pytest

from sideshake.command.main import main
from sideshake.web.base.saving import save
from sideshake.web.models import Change


@pytest.fixture
def show(capsys):
    def run(*tokens: str) -> tuple[int, str, str]:
        capsys.readouterr()
        with pytest.raises(SystemExit) as ended:
            main(["show", *tokens])
        caught = capsys.readouterr()
        return ended.value.code or 0, caught.out, " ".join(caught.err.split())

    return run


@pytest.fixture
def telling(visit, colleague):
    """A visit whose story names its owner and the number in its case."""
    visit.watch.story = "Ottilie's aunt wore no. 88 123 until 1912. Then it stopped."
    visit.watch.case_serial = "88123"
    save(visit.watch, colleague)
    return visit


@pytest.fixture
def agreed(telling, colleague):
    telling.show_agreed_on, telling.show_agreed_how = date(2026, 3, 9), "letter of 8 March"
    save(telling, colleague)
    return telling


def test_without_consent_nothing_is_shown(show, telling, tmp_path):
    code, _out, err = show("2026-001", "--to", str(tmp_path / "site"))
    assert code == 2
    assert "the owner has not agreed" in err
    assert not (tmp_path / "site").exists()


def test_what_tells_too_much_is_listed_and_refused(show, agreed, tmp_path):
    code, out, _err = show("2026-001", "--json")
    looked = json.loads(out)
    assert code == 0
    assert "Ottilie" in " ".join(looked["still_told"]["story"])
    assert "the owner's name" in looked["left_out"]
    code, _out, err = show("2026-001", "--to", str(tmp_path / "site"))
    assert code == 2
    assert "would still show" in err
    assert not (tmp_path / "site").exists()


def test_hidden_words_are_gone_from_the_folder_and_the_history_knows(show, agreed, tmp_path):
    code, _out, _err = show("2026-001", "--hide", "--to", str(tmp_path / "site"))
    assert code == 0
    page = (tmp_path / "site" / "index.html").read_text("utf-8")
    assert "aunt wore" in page
    assert not [word for word in ("Ottilie", "88 123", "88123", "2026-001") if word in page]
    assert Change.objects.filter(what__contains="page to show").count() == 1
    again = show("2026-001", "--hide", "--to", str(tmp_path / "site"))
    assert again[0] == 2
    assert "is not empty" in again[2]


def test_an_unknown_visit_is_one_line(show, agreed):
    code, _out, err = show("1999-001")
    assert (code, err) == (2, "sideshake: there is no visit 1999-001")
