"""Real photographs of coins and rings: round things without countable teeth are not counted.

`../shared/data/photo` (MIT) is no part of the project. The 20 cent coin has seven notches too faint
to be counted here; that no number is told of it, of a round coin or of a ring is what is tested.
"""

import pytest
from real_rounds import FOLDER, real_rounds

from sideshake.core.errors import NotEnough
from sideshake.photo.wheel import wheel


@pytest.mark.parametrize("name", ["10 cent", "20 cent", "ring"])
def test_no_wrong_count_on_what_others_photographed(name):
    if not FOLDER.exists():
        pytest.skip("the photographs are not in ../shared/data/photo")
    rounds = list(real_rounds(name))
    assert len(rounds) > 20
    for _, light, at, teeth in rounds[::6]:
        try:
            found = wheel(light, at).teeth
        except NotEnough:
            continue
        assert found == teeth
