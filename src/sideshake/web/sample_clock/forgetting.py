"""Forgetting a sound clock: what was checked is put aside, so that it can be taken back."""

from django.db import transaction
from django.utils.translation import gettext as _

from sideshake.sample_clock.kept import entry_of, forget_clock
from sideshake.sound.clock import SampleClock
from sideshake.web.base.putting_aside import put_aside
from sideshake.web.models import Removed, User, the_workshop


@transaction.atomic
def forget_checked(recorder: str, kept: SampleClock, by: User) -> Removed:
    """Return what was put aside; if the clock cannot be forgotten, nothing is."""
    held = {"clock": {"name": recorder, "entry": entry_of(kept)}}
    what = _("the sound clock of %(who)s") % {"who": recorder}
    aside = put_aside(the_workshop(), by, held, what=what, kind="clock")
    forget_clock(recorder)
    return aside
