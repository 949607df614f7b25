"""The sections of the visit page, in the order of the work."""

from django.utils.translation import gettext_lazy as _

from sideshake.web.visit_page.sections import bench, business, evidence, records, tested
from sideshake.web.visit_page.sections.base import VisitSection

SECTIONS = (
    VisitSection(slug="arrived", title=_("Arrived"), fill=records.arrived),
    VisitSection(slug="photographs", title=_("Photographs and condition")),
    VisitSection(slug="looked-over", title=_("Looked over"), fill=records.looked_over),
    VisitSection(slug="findings", title=_("Findings")),
    VisitSection(slug="measured", title=_("Measured"), fill=evidence.measured),
    VisitSection(slug="heard", title=_("Heard"), fill=evidence.heard),
    VisitSection(slug="proposal", title=_("Proposal"), fill=business.proposal),
    VisitSection(slug="bench", title=_("On the bench"), fill=bench.bench),
    VisitSection(slug="tested", title=_("On test"), fill=tested.tested),
    VisitSection(slug="money", title=_("Money"), fill=business.money, for_pricing=True),
    VisitSection(slug="home", title=_("Gone home")),
    VisitSection(slug="history", title=_("Who changed what")),
)
