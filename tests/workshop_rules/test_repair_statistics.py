import pytest

from sideshake.core.errors import InputError, NotEnough
from sideshake.workshop_rules.repair_statistics import PastVisit, learnt, share_of_visits


# Published: Newcombe (1998), Statistics in Medicine 17, 857-872, Table I, method 3 (Wilson score
# without continuity correction); figures from memory, and recomputed below from the formula.
@pytest.mark.parametrize(
    ("seen", "visits", "low", "high"),
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_the_interval_is_the_published_one(seen, visits, low, high):
    found = share_of_visits("key", "Tarnbrook 31", seen=seen, visits=visits)
    assert (found.low, found.high) == pytest.approx((low, high), abs=0.00006)


@pytest.mark.parametrize(("seen", "visits"), [(7, 9), (0, 3), (3, 3), (40, 41)])
def test_the_interval_solves_wilsons_equation(seen, visits):
    found = share_of_visits("key", "Tarnbrook 31", seen=seen, visits=visits)
    z = 1.959963984540054
    for edge in (found.low, found.high):
        assert visits * (found.share - edge) ** 2 == pytest.approx(
            z**2 * edge * (1 - edge), abs=1e-9
        )


@pytest.mark.parametrize("visits", [0, 1, 2])
def test_too_few_visits_tell_nothing(visits):
    with pytest.raises(NotEnough, match="from 3 visits on"):
        share_of_visits("key", "Tarnbrook 31", seen=0, visits=visits)


@pytest.mark.parametrize(("seen", "visits"), [(4, 3), (-1, 3)])
def test_impossible_counts_are_refused(seen, visits):
    with pytest.raises(InputError, match="seen lies between"):
        share_of_visits("key", "Tarnbrook 31", seen=seen, visits=visits)


def visit(*findings, calibre="Tarnbrook 31"):
    return PastVisit(calibre=calibre, findings=frozenset(findings))


def test_the_most_frequent_comes_first_and_other_calibres_do_not_count():
    past = (
        visit("oil-dried", "barrel-hole-worn"),
        visit("barrel-hole-worn"),
        visit(),
        visit("oil-dried", calibre="Lindquell 25"),
    )
    found = learnt(past, "Tarnbrook 31")
    assert [(each.key, each.seen, each.visits) for each in found] == [
        ("barrel-hole-worn", 2, 3),
        ("oil-dried", 1, 3),
    ]
    with pytest.raises(NotEnough, match="1 visit of Lindquell 25"):
        learnt(past, "Lindquell 25")


def test_visits_without_a_finding_have_nothing_to_tell():
    assert learnt((visit(), visit(), visit()), "Tarnbrook 31") == ()
