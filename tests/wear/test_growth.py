import numpy as np
import pytest
from scipy import stats

from sideshake.wear.growth import FAR, LITTLE, MEAN, SD, SHAPE_SOURCE, WORN_SHARE, beyond, growth


def test_wear_is_never_below_none_and_has_its_stated_mean_and_spread():
    drawn = growth(200_000, np.random.default_rng(1))
    assert drawn.min() >= 0
    assert drawn.mean() == pytest.approx(MEAN, rel=0.02)
    assert drawn.std() == pytest.approx(SD, rel=0.02)


@pytest.mark.parametrize("plays", [0.0, 0.5, 1.67, 3.6, 8.0])
def test_the_chance_of_much_wear_is_that_of_the_two_exponentials(plays):
    drawn = growth(200_000, np.random.default_rng(2))
    two = [stats.expon(scale=each).sf(plays) for each in (LITTLE, FAR)]
    assert beyond(plays) == pytest.approx((1 - WORN_SHARE) * two[0] + WORN_SHARE * two[1])
    assert np.mean(drawn > plays) == pytest.approx(beyond(plays), abs=0.004)


def test_it_is_wide_enough_for_the_shipped_worn_hole():
    # the leaning barrel's hole has grown by 0.087 mm on a play of 0.025: about one in 23
    assert 0.02 < beyond(0.087 / 0.025) < 0.1


def test_its_source_is_told():
    assert "no source" in SHAPE_SOURCE
