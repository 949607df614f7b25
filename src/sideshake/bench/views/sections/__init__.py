"""The sections of the visit page, in the order of the work."""

from django.utils.translation import gettext_lazy as _

from sideshake.bench.views.sections import bench, business, evidence, records, tested
from sideshake.bench.views.sections.base import Section

SECTIONS = (
    Section(slug="arrived", title=_("Arrived"), fill=records.arrived),
    Section(slug="photographs", title=_("Photographs and condition")),
    Section(slug="looked-over", title=_("Looked over"), fill=records.looked_over),
    Section(slug="findings", title=_("Findings")),
    Section(slug="measured", title=_("Measured"), fill=evidence.measured),
    Section(slug="heard", title=_("Heard"), fill=evidence.heard),
    Section(slug="proposal", title=_("Proposal"), fill=business.proposal),
    Section(slug="bench", title=_("On the bench"), fill=bench.bench),
    Section(slug="tested", title=_("On test"), fill=tested.tested),
    Section(slug="money", title=_("Money"), fill=business.money, for_pricing=True),
    Section(slug="home", title=_("Gone home")),
    Section(slug="history", title=_("Who changed what")),
)
