"""A section of the visit page: its title, its template, and what the template is given."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.utils.functional import Promise

from sideshake.web.models import User, Visit


@dataclass(frozen=True, slots=True, kw_only=True)
class Filled:
    """A section with all it shows."""

    slug: str
    title: str | Promise
    template: str
    shown: dict[str, Any]


def nothing_more(_visit: Visit, _user: User) -> dict[str, Any]:
    """Return nothing: the visit itself is enough."""
    return {}


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitSection:
    """A section: `fill` computes what its template shows as `s`, from records already fetched.

    `fill` must not ask the database: `queries.whole_visit` has fetched what a visit page needs.
    """

    slug: str
    title: str | Promise
    fill: Callable[[Visit, User], dict[str, Any]] = nothing_more
    for_pricing: bool = False

    def is_for(self, user: User) -> bool:
        """Whether the reader may see this section."""
        return user.may_price or not self.for_pricing

    def filled(self, visit: Visit, user: User) -> Filled:
        """Return the section filled for one visit and one reader."""
        return Filled(
            slug=self.slug,
            title=self.title,
            template=f"visit_page/sections/{self.slug}.html",
            shown=self.fill(visit, user),
        )
