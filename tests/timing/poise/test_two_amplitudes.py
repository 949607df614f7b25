"""Two amplitudes: what turns its sign round is poise, what stays is something else."""

import numpy as np
import pytest

from sideshake.core.errors import InputError, NotEnough
from sideshake.timing.poise.heavy_spot import UP_DEG
from sideshake.timing.poise.two_amplitudes import compare_amplitudes, part
from tests.timing.poise.cases import hanging, planted


def at(amplitude, *, spot=140.0, rest=None, mg_mm=0.238):
    rates = planted(spot, amplitude=amplitude, mg_mm=mg_mm)
    return hanging(
        {position: rates[position] + (rest or {}).get(position, 0.0) for position in UP_DEG},
        amplitude=amplitude,
    )


STAYS = {"12H": 6.0, "6H": -6.0}
"""The traditional pinning makes one position fast against its opposite (trade-facts 4.2.12)."""


def test_a_real_heavy_spot_turns_round_and_nothing_is_left():
    turned = compare_amplitudes(at(280.0), at(170.0))
    assert turned.is_poise_alone
    assert turned.poise.dial_deg.value == pytest.approx(140.0)
    # trade-facts 4.2.4 gives 28.92 at 180° and -19.08 at 270°; here the same formula.
    assert turned.poise.amplitude_deg.value == 280.0
    assert turned.small_s_per_day.value > turned.poise.size_s_per_day.value
    assert "Nothing else is seen" in turned.sentence


def test_published_sizes_come_back_at_both_amplitudes():
    # Trade-facts 4.2.4, from the published formula: 28.92 s a day at 180°, 19.08 at 270°.
    turned = compare_amplitudes(at(180.0), at(270.0))
    assert turned.small_s_per_day.value == pytest.approx(28.92, abs=0.005)
    assert turned.poise.size_s_per_day.value == pytest.approx(19.08, abs=0.005)


def test_what_does_not_turn_round_is_told_apart_from_the_spot():
    turned = compare_amplitudes(at(180.0, rest=STAYS), at(270.0, rest=STAYS))
    assert turned.poise.dial_deg.value == pytest.approx(140.0)
    assert turned.rest.towards_12.value == pytest.approx(6.0)
    assert turned.rest.towards_3.value == pytest.approx(0.0, abs=1e-9)
    assert not turned.is_poise_alone
    assert "stay the same" in turned.sentence


def test_an_error_that_keeps_its_sign_is_no_poise_error():
    with pytest.raises(NotEnough, match=r"no poise error.*6\.0.* stay the same"):
        compare_amplitudes(at(180.0, rest=STAYS, mg_mm=0.0), at(270.0, rest=STAYS, mg_mm=0.0))


def test_two_sets_on_one_side_of_220_are_refused():
    with pytest.raises(InputError, match="one set above and one below"):
        compare_amplitudes(at(150.0), at(190.0))


def test_a_rest_is_seen_where_there_is_none_in_one_set_of_twenty():
    # 400 pairs of sets with noise only: 5 % within four standard errors.
    random = np.random.default_rng(11)
    seen = []
    for noise in random.normal(0, 0.8, (400, 2, 4)):
        sets = [
            hanging(
                {
                    position: rate + each
                    for (position, rate), each in zip(
                        planted(140.0, amplitude=amplitude).items(), row, strict=True
                    )
                },
                amplitude=amplitude,
                u=0.8,
                amplitude_u=0.01,
            )
            for amplitude, row in zip((180.0, 270.0), noise, strict=True)
        ]
        seen.append(not part(*sets).is_poise_alone)
    assert np.mean(seen) == pytest.approx(0.05, abs=0.044)
