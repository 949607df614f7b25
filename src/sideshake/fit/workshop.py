"""What a workshop has: its name, its reamers, the jewels and bushes in its drawer."""

from typing import Annotated

from pydantic import ConfigDict, Field

from sideshake.fit.jewel import Part
from sideshake.fit.materials import material
from sideshake.movement.lines import SheetSection


class Stock(SheetSection):
    """One kind of jewel or bush in the drawer."""

    model_config = ConfigDict(allow_inf_nan=False)

    outside_mm: float = Field(gt=0, description="outside diameter")
    hole_mm: float = Field(gt=0, description="diameter of the hole")
    thickness_mm: float = Field(gt=0, description="thickness")
    material: str = Field(default="ruby", description="what it is made of")
    name: str = Field(default="", description="where it lies")


class WorkshopTools(SheetSection):
    """A workshop's tools and stock."""

    model_config = ConfigDict(allow_inf_nan=False)

    name: str = Field(default="", description="the workshop's name, for the order")
    address: str = Field(default="", description="where a maker sends the parts")
    ask: str = Field(default="", description="whom a maker asks")
    phone: str = Field(default="", description="telephone")
    email: str = Field(default="", description="email")
    reamers_mm: tuple[Annotated[float, Field(gt=0)], ...] = Field(
        default=(), description="sizes of the reamers it has"
    )
    under_mm: float = Field(
        default=0.01, gt=0, description="how far the last reamer is under the jewel"
    )
    drawer: tuple[Stock, ...] = Field(default=(), description="jewels and bushes on hand")


def parts_in(workshop: WorkshopTools) -> tuple[Part, ...]:
    """Return the jewels and bushes in the drawer."""
    return tuple(
        Part(
            outside_mm=each.outside_mm,
            hole_mm=each.hole_mm,
            thickness_mm=each.thickness_mm,
            material=material(each.material),
            name=each.name,
        )
        for each in workshop.drawer
    )
