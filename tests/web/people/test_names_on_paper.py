"""By which name those who work here stand on an owner's paper."""

import pytest

from sideshake.web.models import User


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
