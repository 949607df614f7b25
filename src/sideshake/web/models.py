"""The records of the workshop."""

from sideshake.web.base.models import ENDED, NO_TAX_CHOICES, AnswerChannel, Channel, Record, Step
from sideshake.web.bench_plan.models import PlanStep
from sideshake.web.calibres.models import Calibre
from sideshake.web.daily_rates.models import Programme
from sideshake.web.documents.models import Issued
from sideshake.web.drawer.models import Batch, Item, Kind, Used
from sideshake.web.evidence.models import Finding, LookOver, Photograph, Severity
from sideshake.web.measuring.models import Measurement
from sideshake.web.money.models import Invoice, Payment
from sideshake.web.outwork.models import JewelOrder, Outwork
from sideshake.web.owners.models import Lume, Owner, Watch
from sideshake.web.people.models import Role, SignInLink, User
from sideshake.web.proposals.models import Need, Option, Proposal
from sideshake.web.readings.models import Reading, Recording
from sideshake.web.rehearing.models import RENEWED, Earlier, Fate, Rehearing, Scope
from sideshake.web.removal.models import KEPT, Removed
from sideshake.web.rounds.models import Position, Round, Wound
from sideshake.web.storage.models import Leaving, TakenIn, TakingIn
from sideshake.web.visits.models import Change, Visit, VisitText
from sideshake.web.workshop.models import UNNAMED, Workshop, the_workshop

__all__ = [
    "ENDED",
    "KEPT",
    "NO_TAX_CHOICES",
    "RENEWED",
    "UNNAMED",
    "AnswerChannel",
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
