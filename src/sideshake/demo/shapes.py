"""What a demo season is made of: plain values that somebody else writes into the records.

The names of fields are those of the workshop's records, so that writing them in is copying.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from sideshake.core.errors import InputError
from sideshake.demo.visit import Channel, Visit


@dataclass(frozen=True, slots=True, kw_only=True)
class Workshop:
    """The workshop's name, wording and rules."""

    name: str
    address: str
    phone: str
    email: str
    website: str
    tax_number: str
    bank: str
    iban: str
    country: str
    locale: str
    currency: str
    tax_percent: Decimal
    prices_hold_tax: bool
    hourly_rate: Decimal
    deposit_percent: Decimal
    proposal_days: int
    payment_days: int
    warranty_months: int
    service_months: int
    warranty_wording: str
    people: tuple["Colleague", ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Colleague:
    """Somebody who works here."""

    name: str
    username: str
    role: Literal["owner", "colleague", "apprentice"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Owner:
    """Somebody whose watch comes here; `key` is how watches name their owner."""

    key: str
    name: str
    address: str
    country: str
    phone: str = ""
    email: str = ""
    prefers: Channel = "email"
    heard_of_us: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Looks:
    """How a watch is drawn: everything the pictures need to tell one watch from another."""

    case: Literal["round", "cushion", "square", "tonneau", "pocket"] = "round"
    metal: Literal["steel", "gold", "silver", "rose", "nickel"] = "steel"
    dial: Literal[
        "cream", "white", "silver", "black", "blue", "salmon", "champagne", "grey", "enamel"
    ] = "cream"
    numerals: Literal["arabic", "roman", "batons", "twelve-six", "dots"] = "arabic"
    hands: Literal["leaf", "batons", "spade", "syringe", "dauphine"] = "leaf"
    counters: int = 0
    """Small dials: 0, 1 (seconds at 6), 2 (3 and 9) or 3 (3, 6 and 9)."""
    window: Literal["none", "date", "day-date"] = "none"
    rotor: bool = False
    lume: bool = False
    age: float = 0.4
    """From 0, as new, to 1, very spotted."""
    stain_at: float | None = None
    """The hour at which the dial has a stain; None: wherever age has put one."""
    stain: str = "#6b4517"
    glass_cracked: tuple[int, int] | None = None
    """From which hour to which the glass is cracked."""

    def __post_init__(self) -> None:
        if not 0 <= self.age <= 1 or self.counters not in (0, 1, 2, 3):
            raise InputError(f"age is 0 to 1 and counters 0 to 3, got {self.age}, {self.counters}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Watch:
    """A watch, described by what is seen; `key` is how visits name it."""

    key: str
    owner: str
    title: str
    dial_name: str = ""
    calibre: str = ""
    calibre_seen: str = ""
    movement_serial: str = ""
    case_serial: str = ""
    reference: str = ""
    case_seen: str = ""
    dial_seen: str = ""
    lume: Literal["none", "dead", "glows", "always", "unknown"] = "none"
    burn_marks: bool = False
    t_mark: bool = False
    year_from: int | None = None
    year_to: int | None = None
    repairers_marks: str = ""
    story: str = ""
    provenance: str = ""
    note: str = ""
    looks: Looks = Looks()


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """One delivery of an item."""

    label: str
    supplier: str
    received_on: date
    quantity: int
    origin: Literal["original", "old-stock", "generic", "made"] = "generic"
    cost: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """A kind of piece in the drawer and its deliveries."""

    kind: Literal["jewel", "bush", "reamer", "spring", "part", "supply"]
    name: str
    place: str = ""
    hole_mm: float | None = None
    outside_mm: float | None = None
    thickness_mm: float | None = None
    calibre: str = ""
    low_at: int = 0
    note: str = ""
    batches: tuple[Batch, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class JewelOrder:
    """An order to a jewel maker; the wishes it gathers name its number."""

    number: str
    to: str
    ordered_on: date
    wanted_on: date
    ask: str = "Edda Quillfoot"
    received_on: date | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """Everything: what `season(today, seed)` returns. Visits are in the order of their arrival."""

    today: date
    workshop: Workshop
    owners: tuple[Owner, ...]
    watches: tuple[Watch, ...]
    visits: tuple[Visit, ...]
    drawer: tuple[Item, ...]
    jewel_orders: tuple[JewelOrder, ...] = ()

    def watch_of(self, visit: Visit) -> Watch:
        """Return the visit's watch."""
        return next(each for each in self.watches if each.key == visit.watch)

    def owner_of(self, watch: Watch) -> Owner:
        """Return the watch's owner."""
        return next(each for each in self.owners if each.key == watch.owner)
