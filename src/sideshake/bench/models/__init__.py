"""The records of the workshop."""

from sideshake.bench.models.base import ENDED, NO_TAX_CHOICES, Channel, Record, Step
from sideshake.bench.models.calibres import Calibre
from sideshake.bench.models.drawer import Batch, Item, Kind, Used
from sideshake.bench.models.evidence import (
    Finding,
    LookOver,
    Measurement,
    Photograph,
    Position,
    Programme,
    Reading,
    Recording,
    Round,
    Severity,
    Wound,
)
from sideshake.bench.models.imports import TakenIn, TakingIn
from sideshake.bench.models.issued import Issued
from sideshake.bench.models.leaving import Leaving
from sideshake.bench.models.people import (
    UNNAMED,
    Role,
    SignInLink,
    User,
    Workshop,
    the_workshop,
)
from sideshake.bench.models.proposals import (
    Invoice,
    Need,
    Option,
    Payment,
    Proposal,
)
from sideshake.bench.models.rehearings import RENEWED, Earlier, Fate, Rehearing, Scope
from sideshake.bench.models.removed import KEPT, Removed
from sideshake.bench.models.visits import Change, Visit, VisitText
from sideshake.bench.models.watches import Lume, Owner, Watch
from sideshake.bench.models.work import JewelOrder, Outwork, PlanStep

__all__ = [
    "ENDED",
    "KEPT",
    "NO_TAX_CHOICES",
    "RENEWED",
    "UNNAMED",
    "Batch",
    "Calibre",
    "Change",
    "Channel",
    "Earlier",
    "Fate",
    "Finding",
    "Invoice",
    "Issued",
    "Item",
    "JewelOrder",
    "Kind",
    "Leaving",
    "LookOver",
    "Lume",
    "Measurement",
    "Need",
    "Option",
    "Outwork",
    "Owner",
    "Payment",
    "Photograph",
    "PlanStep",
    "Position",
    "Programme",
    "Proposal",
    "Reading",
    "Record",
    "Recording",
    "Rehearing",
    "Removed",
    "Role",
    "Round",
    "Scope",
    "Severity",
    "SignInLink",
    "Step",
    "TakenIn",
    "TakingIn",
    "Used",
    "User",
    "Visit",
    "VisitText",
    "Watch",
    "Workshop",
    "Wound",
    "the_workshop",
]
