"""What an escapement lets be said: a cylinder keeps its amplitude to itself, others do not."""

import pytest

from sideshake.core.errors import NotEnough
from sideshake.movement.escapement import (
    limits_of,
    require_heard_amplitude,
    require_loss_model,
    unheard_amplitude,
)
from sideshake.movement.sheet_file import sheet_from_text, shipped_names, shipped_sheet


def of_kind(kind):
    return sheet_from_text(f'name = "A"\n[escapement]\nkind = "{kind}"')


def test_without_a_word_it_is_a_lever():
    assert limits_of(sheet_from_text('name = "A"')).name == "lever"
    assert unheard_amplitude(None) == ""


@pytest.mark.parametrize("kind", ["lever", "pin lever"])
def test_levers_of_both_kinds_can_be_heard(kind):
    require_heard_amplitude(of_kind(kind))
    require_loss_model(of_kind(kind))
    assert limits_of(of_kind(kind)).noises == 3


def test_a_cylinder_is_told_plainly_that_it_cannot():
    with pytest.raises(NotEnough, match="not for a cylinder escapement: a tooth"):
        require_heard_amplitude(of_kind("cylinder"))
    with pytest.raises(NotEnough, match="rubs on the cylinder"):
        require_loss_model(of_kind("cylinder"))
    assert limits_of(of_kind("cylinder")).noises == 1


def test_each_kind_has_its_own_amplitude():
    lever, pins, cylinder = (limits_of(of_kind(k)) for k in ("lever", "pin lever", "cylinder"))
    assert lever.lying_deg.usual[1] > pins.lying_deg.usual[1] > cylinder.lying_deg.usual[1]


def test_every_shipped_sheet_but_one_can_be_heard():
    silent = {name for name in shipped_names() if unheard_amplitude(shipped_sheet(name))}
    assert silent == {"vennick-41"}
