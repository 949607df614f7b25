"""The visit page as a whole."""

from datetime import date

import pytest
from django.core.cache import cache

from sideshake.web.base.saving import save
from sideshake.web.models import Option, Proposal, the_workshop
from sideshake.web.workshop.models import WORKSHOP

QUERIES = 18
"""Two fetch the rounds and the programmes of daily rates, one asks if it is the first visit."""


@pytest.fixture
def written_on(visit, colleague):
    """A visit with something in every table its page reads."""
    proposal = Proposal(visit=visit, edition=1, currency="EUR", made_on=date(2026, 3, 3))
    save(proposal, colleague)
    save(Option(proposal=proposal, title="new jewel"), colleague)
    return visit


def test_the_visit_page_asks_the_database_few_questions(
    client, written_on, django_assert_max_num_queries
):
    the_workshop()
    cache.delete(WORKSHOP)
    with django_assert_max_num_queries(QUERIES):
        assert client.get(f"/visits/{written_on.number}/").status_code == 200


def test_a_stranger_is_asked_to_sign_in(stranger, visit):
    answer = stranger.get(f"/visits/{visit.number}/")
    assert answer.status_code == 302
    assert answer.url.startswith("/sign-in/")


def test_an_apprentice_sees_no_money(apprentice_client, visit):
    page = apprentice_client.get(f"/visits/{visit.number}/").content.decode()
    assert 'id="heard"' in page
    assert 'id="money"' not in page


def test_no_visit_is_a_plain_sentence(client):
    answer = client.get("/visits/1999-999/")
    assert answer.status_code == 404
    assert "There is no visit 1999-999." in answer.content.decode()
