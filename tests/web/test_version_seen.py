"""Whoever does not say which version they saw is refused like somebody who was overtaken.

Each form of each page is sent as a browser would send it, but for its hidden field `seen`.
"""

import pytest
from django.test import Client
from filled_workshop import ALL
from workshop_process import Forms

from sideshake.web.models import Change, PlanStep, Proposal

from .conftest import question_of, undone_after


def forms_of(page, at):
    for form in Forms(page, at).found:
        if form.method == "post":
            yield form.action, form.pressed | form.shown


def telling_versions(client, addresses):
    """Yield each form that tells a version, once."""
    known = set()
    for at in addresses:
        answer = client.get(at)
        page = answer.status_code == 200 and answer.headers["Content-Type"].startswith("text/html")
        for action, fields in forms_of(answer.text, at) if page else ():
            told = tuple(
                sorted(name for name in fields if is_seen(name) and fields[name] not in ("", "0"))
            )
            if told and (action, told) not in known:
                known.add((action, told))
                yield action, fields
        answer.close()


def is_seen(name):
    return name.startswith("seen") or name.endswith("-seen")


def sent(client, action, fields):
    """Return the status, and how many lines of history came; all is taken back."""
    before = Change.objects.count()
    with undone_after():
        answer = client.post(action, fields)
        asked = question_of(answer)
        if asked:
            answer = client.post(action, fields | {"sure": asked.mark})
        answer.close()
        told = Change.objects.count() - before
    return answer.status_code, told


@pytest.fixture
def client(owner_of_workshop):
    """A browser that adds nothing to what it is told to send."""
    browser = Client()
    browser.force_login(owner_of_workshop)
    return browser


@pytest.fixture
def everywhere(path_of):
    Proposal.objects.update(state="draft")
    PlanStep.objects.filter(kind="test").update(value=0.4, u=0.1)
    filled = [path_of(name) for name in ALL]
    return [at for at in filled if at.endswith("/")]  # no papers and pictures


def test_no_form_changes_anything_without_the_version_it_showed(client, everywhere):
    """Sent whole, most are taken: what is refused without it is refused for the version alone."""
    wrong, whole = [], []
    for action, fields in telling_versions(client, everywhere):
        blind = {name: text for name, text in fields.items() if not is_seen(name)}
        status, told = sent(client, action, blind)
        if told or status not in (200, 302, 409, 422) or (status == 302 and "seen" in fields):
            wrong.append((action, sorted(fields), status, told))
        whole.append(sent(client, action, fields)[0])
    assert wrong == []
    assert whole.count(409) == 0
    assert len(whole) > 30
    assert whole.count(302) > 0.6 * len(whole)
