"""What pages read of proposals."""

from django.shortcuts import get_object_or_404

from sideshake.web.models import Proposal


def proposal_by_edition(number: str, edition: int) -> Proposal:
    """Return a version of a visit's proposal with all that its paper shows, or 404."""
    rows = Proposal.objects.select_related("visit__watch__owner", "written_by")
    rows = rows.prefetch_related("options__photograph")
    return get_object_or_404(rows, visit__number=number, edition=edition)
