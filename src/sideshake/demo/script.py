"""How a visit is written down before it has dates: by days since the arrival, and in short."""

from decimal import Decimal
from typing import Any, Literal

from pydantic import Field

from sideshake.demo.visit import Channel, Finding, Mark, Picture, Position, Step
from sideshake.movement.lines import SheetSection

WHOLE_JOB = "overhaul"
Part = tuple[str, str, Decimal]
"""A batch out of the drawer, its name on the invoice, its price."""
Errand = tuple[str, str, Decimal]
"""To whom, what, and its price to the owner."""


class OptionScript(SheetSection):
    """An option: its reasons, its minutes and its parts."""

    key: str
    title: str
    reason: str = ""
    evidence: str = ""
    risk: str = ""
    if_left: str = ""
    minutes: int = 0
    price: Decimal | None = None
    parts: tuple[Part, ...] = ()
    outwork: tuple[Errand, ...] = ()
    need: Literal["possible", "advised", "necessary"] = "advised"
    instead_of: str = ""
    chosen: bool = False
    picture: Picture | None = None


class Going(SheetSection):
    """How the watch goes, lying and hanging, fully wound."""

    lying: float
    hanging: float
    rate: float
    beat_error: float
    jitter_us: float = 15.0
    wheel_period_s: float = 0.0
    wheel_delay_ms: float = 0.0
    chronograph_drop: float | None = None
    low_position: Position | None = None
    low_by: float = 0.0
    spot_s_per_day: float = 0.0
    """What a heavy spot makes at 270 degrees in the position in which it is lowest."""
    spot_deg: float = 0.0
    """Where it points with the balance at rest, clockwise from 12 o'clock on the dial side."""


class PhotographScript(SheetSection):
    """A photograph that is told about."""

    picture: Picture
    caption: str
    marks: tuple[Mark, ...] = ()


class SecondProposal(SheetSection):
    """A proposal changed after the agreement, and why."""

    after_day: int
    why_changed: str
    channel: Channel
    answer: str
    options: tuple[OptionScript, ...]


class VisitScript(SheetSection):
    """A visit in short. Look-over: by the question's key, "answer's key, note"."""

    key: str
    watch: str
    ago: int
    step: Step
    complaint: str
    hero: bool = True
    small: bool = False
    whole_rounds: bool = False
    """Whether it was heard in all six positions, and after the work also a day after full wind."""
    runs: bool | None = None
    keep: str = ""
    polish: bool = False
    accessories: str = ""
    budget_limit: Decimal | None = None
    shown_how: str = ""
    """How the owner agreed that the story is shown; empty where they did not."""
    declared_value: Decimal | None = None
    carrier: bool = False
    parcel_seen: str = ""
    packed: str = ""
    look_over: dict[str, str] = Field(default_factory=dict)
    findings: tuple[Finding, ...] = ()
    measured: dict[str, Any] = Field(default_factory=dict)
    before: Going | None = None
    after: Going | None = None
    photographs: tuple[PhotographScript, ...] = ()
    intro: str = ""
    weeks: int = 6
    channel: Channel = "email"
    answer: str = ""
    options: tuple[OptionScript, ...] = ()
    second: SecondProposal | None = None
    declined_why: str = ""
    advice: str = ""
    note: str = ""
    bench_only: tuple[str, ...] = ()
    done_steps: int = 6
    pressure_bar: float | None = None
    """At what pressure the owner agreed to have the case tested; None where he did not."""
    step_notes: dict[str, str] = Field(default_factory=dict)

    @property
    def last_options(self) -> tuple[OptionScript, ...]:
        """Return the options as they stand at the end."""
        return self.second.options if self.second else self.options

    @property
    def is_whole(self) -> bool:
        """Return whether the movement is taken apart: an overhaul was chosen."""
        return any(each.chosen and each.key == WHOLE_JOB for each in self.last_options)

    @property
    def is_touched(self) -> bool:
        """Return whether anything is done to the watch, more than looking."""
        return any(each.chosen and each.price is None for each in self.last_options)

    @property
    def opened(self) -> bool:
        """Return whether the case was opened."""
        return not self.look_over.get("case", "").startswith("n")
