"""What was seen, measured and heard during a visit."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from sideshake.bench.models.base import Record
from sideshake.bench.models.visits import Visit
from sideshake.version import EAR, FIRST_EAR


class Photograph(Record):
    """A photograph; the file lies in the data folder under a name made from its content."""

    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, related_name="photographs")
    stored = models.CharField(max_length=90)
    sha256 = models.CharField(max_length=64)
    format = models.CharField(max_length=8)
    bytes = models.PositiveBigIntegerField()
    width_px = models.PositiveIntegerField()
    height_px = models.PositiveIntegerField()
    taken_at = models.DateTimeField(null=True, blank=True)
    caption = models.CharField(_("what it shows"), max_length=200, blank=True)
    marks = models.JSONField(default=list, blank=True)
    """Points on it: {"across": 0 to 1, "down": 0 to 1, "text": ..., "grave": true or false}."""
    place = models.PositiveIntegerField(default=0)
    opens_report = models.BooleanField(_("opens the owner's report"), default=False)
    added_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ("place", "id")

    def __str__(self) -> str:
        return self.caption or f"photograph {self.pk}"

    @property
    def fingerprint(self) -> str:
        """Return what the address of its file ends with: another picture has another."""
        return self.sha256[:16]


class LookOver(Record):
    """The answer to one question of the look-over."""

    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, related_name="look_over")
    question = models.CharField(max_length=60)
    choice = models.CharField(max_length=1)
    said = models.CharField(max_length=200)
    note = models.CharField(_("note"), max_length=300, blank=True)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )
    at = models.DateTimeField(auto_now=True)

    class Meta:
        constraints = (models.UniqueConstraint(fields=("visit", "question"), name="one_answer"),)
        ordering = ("id",)

    def __str__(self) -> str:
        return f"{self.question}: {self.said}"


class Severity(models.TextChoices):
    """How bad a finding is."""

    NOTE = "note", _("to be known")
    WORN = "worn", _("worn")
    BROKEN = "broken", _("broken")
    DANGER = "danger", _("will break something or hurt somebody")


class Finding(Record):
    """A fault seen; `key` is set when it is one of the usual findings of the calibre."""

    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, related_name="findings")
    key = models.CharField(max_length=60, blank=True)
    title = models.CharField(_("finding"), max_length=160)
    detail = models.TextField(_("what exactly"), blank=True)
    part = models.CharField(_("part"), max_length=80, blank=True)
    severity = models.CharField(_("how bad"), max_length=8, choices=Severity, default=Severity.WORN)
    photograph = models.ForeignKey(
        Photograph, on_delete=models.SET_NULL, null=True, blank=True, related_name="findings"
    )
    mended = models.BooleanField(_("put right"), default=False)

    class Meta:
        ordering = ("id",)
        indexes = (models.Index(fields=("key",)),)

    def __str__(self) -> str:
        return self.title


class Measurement(Record):
    """One measured size; `key` is its place in a measurement file, such as above.hole_long_mm."""

    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, related_name="measurements")
    key = models.CharField(_("what"), max_length=60)
    value = models.FloatField(_("value"), null=True, blank=True)
    u = models.FloatField(_("standard uncertainty"), null=True, blank=True)
    word = models.CharField(_("in words"), max_length=60, blank=True)
    note = models.CharField(_("note"), max_length=200, blank=True)
    after = models.BooleanField(_("measured after the work"), default=False)
    photograph = models.ForeignKey(
        Photograph, on_delete=models.SET_NULL, null=True, blank=True, related_name="measurements"
    )
    """In which it was measured; none where it was typed."""

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("visit", "key", "after"), name="one_size_each"),
        )
        ordering = ("id",)

    def __str__(self) -> str:
        return self.key


class Position(models.TextChoices):
    """Positions by ISO 3158, with plain words."""

    CH = "CH", _("CH, dial up")
    FH = "FH", _("FH, dial down")
    H3 = "3H", _("3H, crown up")
    H6 = "6H", _("6H, crown left")
    H9 = "9H", _("9H, crown down")
    H12 = "12H", _("12H, crown right")
    UNKNOWN = "", _("not noted")


class Wound(models.TextChoices):
    """How far the spring was wound."""

    FULL = "full", _("fully wound")
    DAY = "24h", _("24 hours after full wind")
    UNKNOWN = "", _("not noted")


class Round(Record):
    """A set of readings in several positions, in one state of wind; `plan` says which and in turn.

    `plan` holds {"position": "CH", "chronograph_on": false}. A position is heard for `least_s` at
    least and `most_s` at most; in between it ends when both 95 % half-widths wanted are reached.
    """

    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, related_name="rounds")
    wound = models.CharField(_("wound"), max_length=4, choices=Wound, default=Wound.FULL)
    after = models.BooleanField(_("after the work"), default=False)
    lift_angle_deg = models.FloatField(_("lift angle, degrees"), null=True, blank=True)
    plan = models.JSONField(default=list)
    rest_s = models.PositiveIntegerField(_("rest before each, seconds"), default=15)
    least_s = models.PositiveIntegerField(_("listen at least, seconds"), default=30)
    most_s = models.PositiveIntegerField(_("listen at most, seconds"), default=120)
    wanted_rate_s_per_day = models.FloatField(_("rate wanted within, s a day"), default=0.5)
    wanted_amplitude_deg = models.FloatField(_("amplitude wanted within, degrees"), default=3.0)
    begun_at = models.DateTimeField(auto_now_add=True)
    note = models.CharField(_("note"), max_length=200, blank=True)

    UNTOLD = ("plan",)

    class Meta:
        ordering = ("id",)

    def __str__(self) -> str:
        return f"{self.get_wound_display()}, {len(self.plan)} positions"


class Recording(models.Model):
    """A sound file as it was given; it lies in the data folder and is never changed."""

    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, related_name="recordings")
    stored = models.CharField(max_length=90)
    sha256 = models.CharField(max_length=64)
    bytes = models.PositiveBigIntegerField()
    rate_hz = models.PositiveIntegerField()
    duration_s = models.FloatField()
    added_at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return f"recording {self.pk}"


class Reading(Record):
    """What a recording says; without figures when there was no reading, and then why."""

    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, related_name="readings")
    recording = models.ForeignKey(
        Recording, on_delete=models.PROTECT, related_name="readings", null=True
    )
    round = models.ForeignKey(
        Round, on_delete=models.SET_NULL, related_name="readings", null=True, blank=True
    )
    position = models.CharField(
        _("position"), max_length=3, choices=Position, default=Position.UNKNOWN, blank=True
    )
    wound = models.CharField(
        _("wound"), max_length=4, choices=Wound, default=Wound.UNKNOWN, blank=True
    )
    chronograph_on = models.BooleanField(_("chronograph running"), default=False)
    after = models.BooleanField(_("after the work"), default=False)
    lift_angle_deg = models.FloatField(_("lift angle, degrees"), null=True, blank=True)
    lift_angle_u_deg = models.FloatField(null=True, blank=True)
    recorder = models.CharField(_("microphone"), max_length=120, blank=True)
    """Whose sound clock it was recorded by; empty: this computer's."""
    heard_from_s = models.FloatField(default=0.0)
    """What came before in the recording was handling and settling, and is not read."""
    heard_until_s = models.FloatField(null=True)
    """What came after was handling; null: read to the end."""
    heard_at = models.DateTimeField(null=True)
    state = models.CharField(max_length=10, default="waiting")
    """live, waiting, heard or no-reading."""
    program = models.CharField(max_length=40, blank=True)
    """Which version of the program heard it; empty: heard before versions were kept."""
    ear = models.PositiveSmallIntegerField(default=FIRST_EAR)
    """Which ear heard it; says something once it is heard or no reading."""
    sentence = models.CharField(max_length=300, blank=True)
    no_reading = models.CharField(max_length=300, blank=True)
    beats_per_hour = models.FloatField(null=True)
    rate_s_per_day = models.FloatField(null=True)
    rate_u_s_per_day = models.FloatField(null=True)
    rate_alone_u_s_per_day = models.FloatField(null=True)
    """The rate's uncertainty without the sound clock's share, which readings have in common."""
    amplitude_deg = models.FloatField(null=True)
    amplitude_u_deg = models.FloatField(null=True)
    beat_error_ms = models.FloatField(null=True)
    beat_error_u_ms = models.FloatField(null=True)
    figures = models.JSONField(default=dict)
    said_watch = models.BooleanField(_("said to be a watch"), default=False)
    """Read as a watch although it does not sound like one."""
    note = models.CharField(_("note"), max_length=200, blank=True)

    UNTOLD = ("figures", "program", "ear")

    class Meta:
        ordering = ("id",)

    def __str__(self) -> str:
        return self.sentence or self.no_reading or "not yet heard"

    @property
    def heard_by(self) -> str:
        """Return which ear of which program heard it, in words."""
        return ear_words(self.ear, self.program)

    @property
    def called(self) -> str:
        """Return its name in a list: the visit, how the watch lay and was wound."""
        parts = (
            self.visit.number,
            str(self.get_position_display()),
            str(self.get_wound_display()) if self.wound else "",
            gettext("chronograph running") if self.chronograph_on else "",
            gettext("after the work") if self.after else gettext("as it came"),
        )
        return ", ".join(part for part in parts if part)

    @property
    def by_this_ear(self) -> bool:
        """Whether the present ear heard it."""
        return self.ear == EAR


def ear_words(ear: int, program: str) -> str:
    """Return an ear and its program in words."""
    if not program:
        return gettext("ear %(ear)d, before versions were kept") % {"ear": ear}
    return gettext("ear %(ear)d of Sideshake %(program)s") % {"ear": ear, "program": program}


class Programme(Record):
    """Fifteen days of daily rates, to be compared with the criteria of ISO 3159.

    `states` holds {"at": ISO time, "state_s": watch minus reference}; the first begins day 1, each
    further one ends a day.
    """

    class Size(models.TextChoices):
        """Which limits hold: they depend on the movement's diameter."""

        LARGE = "large", _("over 20 mm")
        SMALL = "small", _("20 mm or less")

    visit = models.ForeignKey(Visit, on_delete=models.CASCADE, related_name="programmes")
    size = models.CharField(_("movement's diameter"), max_length=5, choices=Size)
    begun_on = models.DateField(_("begun on"))
    after = models.BooleanField(_("after the work"), default=True)
    state_u_s = models.FloatField(_("one comparison is right within, s"), default=0.2)
    states = models.JSONField(default=list)
    ended_on = models.DateField(null=True)
    note = models.CharField(_("note"), max_length=200, blank=True)

    UNTOLD = ("states",)

    class Meta:
        ordering = ("id",)

    def __str__(self) -> str:
        return f"daily rates from {self.begun_on}"
