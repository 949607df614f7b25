"""By which name those who work here stand on an owner's paper."""

from datetime import date

import pytest

from sideshake.web.base.saving import save
from sideshake.web.documents.proposals import offer_of
from sideshake.web.models import Proposal, User
from sideshake.web.proposals.queries import proposal_by_edition


@pytest.mark.parametrize(
    ("name", "first", "last", "said"),
    [
        ("owner", "Edda", "Hollowell", "Edda Hollowell"),
        ("edda", "", "", "edda"),
        ("owner", "", "", ""),
        ("the owner", "", "", ""),
        ("Apprentice 2", "", "", ""),
        ("rowner", "", "", "rowner"),
    ],
)
def test_a_paper_bears_a_name_and_never_a_role(name, first, last, said):
    assert User(username=name, first_name=first, last_name=last).on_paper == said


def test_on_our_own_pages_everybody_is_told_apart():
    assert str(User(username="owner")) == "owner"


def test_a_proposal_names_who_wrote_it_and_no_role(visit, owner_of_workshop):
    row = Proposal(visit=visit, edition=1, currency="EUR", made_on=date(2026, 3, 3),
                   written_by=owner_of_workshop)  # fmt: skip
    save(row, owner_of_workshop)
    assert offer_of(proposal_by_edition(visit.number, 1)).written_by == ""
    owner_of_workshop.first_name = "Edda"
    owner_of_workshop.save()
    assert offer_of(proposal_by_edition(visit.number, 1)).written_by == "Edda"
