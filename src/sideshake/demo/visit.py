"""What one visit of a demo season is made of.

The names of fields, steps, channels, kinds and severities are those of the workshop's records, so
that writing them in is copying. Amounts are in the workshop's currency, tax included.
"""

from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from typing import Literal

from sideshake.core.errors import InputError

PENNY = Decimal("0.01")
Step = Literal[
    "arrived", "looked-over", "proposed", "agreed", "on-the-bench", "on-test", "ready",
    "gone-home", "declined",
]  # fmt: skip
Channel = Literal["email", "phone", "letter", "here"]
Position = Literal["CH", "FH", "3H", "6H", "9H", "12H"]
Picture = Literal[
    "dial", "movement", "case-back", "oval-hole", "broken-tooth", "burn-marks", "parcel",
    "rotor-arc", "rust", "scratches",
]  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One answer of the look-over: the question's key, the answer in words, perhaps a note."""

    question: str
    choice: str = ""
    said: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """A fault seen; `key` is one of the usual findings or empty."""

    title: str
    key: str = ""
    detail: str = ""
    part: str = ""
    severity: Literal["note", "worn", "broken", "danger"] = "worn"
    picture: Picture | None = None
    """The photograph of this visit that shows it."""
    mended: bool = False
    is_cause: bool = False
    """Whether it is the cause of what the owner told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """One size as in a measurement file of the barrel: "above.hole_long_mm" and so on."""

    key: str
    value: float | None = None
    u: float | None = None
    word: str = ""
    after: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Sound:
    """How the watch goes in one position: what the recording is simulated from."""

    position: Position
    rate_s_per_day: float
    amplitude_deg: float
    beat_error_ms: float
    beats_per_hour: int
    lift_angle_deg: float
    jitter_us: float = 15.0
    wheel_period_s: float = 0.0
    """Period of a wheel that disturbs the balance; 0 for none."""
    wheel_delay_ms: float = 0.0
    wound: Literal["full", "24h"] = "full"
    chronograph_on: bool = False
    after: bool = False
    recorded: bool = True
    """Whether a recording is to be made of it; the season keeps these few."""
    heard_on: date
    note: str = ""

    def __post_init__(self) -> None:
        if not self.lift_angle_deg / 2 < self.amplitude_deg < 400:
            raise InputError(f"no watch swings {self.amplitude_deg}° with this lift angle")


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A point on a photograph, as shares of its width and height, and what is to be seen there."""

    across: float
    down: float
    text: str
    grave: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Photograph:
    """A photograph to be drawn."""

    picture: Picture
    caption: str
    taken_on: date
    opens_report: bool = False
    marks: tuple[Mark, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceLine:
    """A line of a price."""

    kind: Literal["work", "part", "outwork"]
    text: str
    each: Decimal
    quantity: Decimal = Decimal(1)
    tax_percent: Decimal = Decimal(20)

    @property
    def amount(self) -> Decimal:
        """Return quantity times price, to the penny."""
        return (self.quantity * self.each).quantize(PENNY, ROUND_HALF_UP)


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One thing that could be done."""

    title: str
    key: str = ""
    reason: str = ""
    evidence: str = ""
    risk: str = ""
    if_left: str = ""
    lines: tuple[PriceLine, ...] = ()
    need: Literal["possible", "advised", "necessary"] = "advised"
    instead_of: str = ""
    chosen: bool = False
    picture: Picture | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """One version of the priced suggestion and what the owner said to it."""

    edition: int = 1
    state: Literal["draft", "sent", "agreed", "declined", "replaced"] = "agreed"
    intro: str = ""
    weeks: int | None = None
    deposit: Decimal | None = None
    made_on: date
    sent_on: date | None = None
    expires_on: date | None = None
    answered_on: date | None = None
    channel: Channel | Literal[""] = ""
    answer: str = ""
    why_changed: str = ""
    options: tuple[Option, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchStep:
    """One step of the bench plan, or a test of it before the watch goes home."""

    title: str
    key: str = ""
    kind: Literal["work", "test"] = "work"
    how: str = ""
    caution: str = ""
    planned_minutes: int | None = None
    minutes: int | None = None
    done_on: date | None = None
    by: str = ""
    """User name of who did it; empty while it is not done."""
    value: float | None = None
    u: float | None = None
    unit: str = ""
    result: Literal["good", "bad", ""] = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Used:
    """A piece out of the drawer: the batch's label."""

    batch: str
    on: date
    quantity: int = 1
    old_part: Literal["none", "returned", "kept"] = "returned"
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outwork:
    """Work that went to somebody else."""

    to: str
    what: str
    sent_on: date | None = None
    due_on: date | None = None
    back_on: date | None = None
    cost: Decimal | None = None
    jewel: bool = False
    hole_mm: float | None = None
    outside_mm: float | None = None
    thickness_mm: float | None = None
    material: str = "ruby"
    bore: str = "straight"
    sink: bool = True
    quantity: int = 1
    order: str = ""
    """Number of the jewel order that holds this wish; empty while it is not ordered."""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Invoice:
    """An invoice for the options chosen."""

    number: str
    issued_on: date
    due_on: date
    lines: tuple[PriceLine, ...]
    note: str = ""

    @property
    def total(self) -> Decimal:
        """Return what is to be paid, tax included."""
        return sum((each.amount for each in self.lines), Decimal(0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Payment:
    """Money that came in."""

    amount: Decimal
    on: date
    how: str = "bank transfer"
    deposit: bool = False
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """One stay in the workshop, from the parcel to gone home."""

    key: str
    number: str
    watch: str
    step: Step
    step_since: date
    arrived_on: date
    promised_on: date | None = None
    complaint: str = ""
    runs: bool | None = None
    polish: bool = False
    keep: str = ""
    return_old_parts: bool = True
    accessories: str = ""
    budget_limit: Decimal | None = None
    declared_value: Decimal | None = None
    insured_here: bool = False
    carrier_in: str = ""
    tracking_in: str = ""
    parcel_seen: str = ""
    carrier_out: str = ""
    tracking_out: str = ""
    insured_out: Decimal | None = None
    packed: str = ""
    gone_home_on: date | None = None
    declined_why: str = ""
    warranty_until: date | None = None
    next_service_on: date | None = None
    advice: str = ""
    note: str = ""
    show_agreed_on: date | None = None
    show_agreed_how: str = ""
    look_over: tuple[Answer, ...] = ()
    findings: tuple[Finding, ...] = ()
    measurements: tuple[Measurement, ...] = ()
    readings: tuple[Sound, ...] = ()
    photographs: tuple[Photograph, ...] = ()
    proposals: tuple[Proposal, ...] = ()
    plan: tuple[BenchStep, ...] = ()
    used: tuple[Used, ...] = ()
    outwork: tuple[Outwork, ...] = ()
    invoices: tuple[Invoice, ...] = ()
    payments: tuple[Payment, ...] = ()
