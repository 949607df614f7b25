"""`sideshake jewel`: which jewel or bush, how it fits, the way there, and the maker's drawing."""

from dataclasses import dataclass
from datetime import date as calendar
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from sideshake.analysis.jewel import MEMORY, FittingWish, fit_jewel, fit_rows
from sideshake.analysis.on_bench import laid_out
from sideshake.command.measured import calibre_of, measurements_at, workshop_at
from sideshake.command.options import Json
from sideshake.command.say import CommandAnswer, Grid, save_picture, say
from sideshake.core.errors import InputError, NotEnough
from sideshake.fit.jewel import as_made
from sideshake.fit.making import PACKING
from sideshake.fit.materials import Material, material
from sideshake.fit.workshop import WorkshopTools
from sideshake.wear.verdict import Action, BearingPlace, verdict
from sideshake.workshop_rules.repair import Repair, part_name, repair_sentence

if TYPE_CHECKING:
    from sideshake.drawings.jewel_sheet import OrderDrawing


def jewel(
    sheet: str | None = None,
    *,
    measured: list[str] | None = None,
    place: Literal["above", "below"] | None = None,
    metal: str | None = None,
    workshop: str | None = None,
    quantity: int = 1,
    order: str = "",
    to: str = "",
    date: str = "",
    wanted: str = "",
    as_json: Json = False,
    pictures: Path | None = None,
) -> None:
    """Choose a jewel or bush, tell how it fits, plan the work, draw the order for a maker.

    Parameters
    ----------
    sheet
        A sheet's file, or the name of one that comes with the program (such as tarnbrook-31).
    measured
        A file of measurements, or the shipped leaning-barrel; repeat it to gather several repairs.
    place
        Which hole: above (bridge) or below (plate); by default those the verdict names.
    metal
        Make a bush of this metal (such as "phosphor bronze") instead of a jewel.
    workshop
        A file with the workshop's reamers and drawer, or the shipped demo-workshop.
    quantity
        How many of each part to order.
    order
        The order's number; without one the paper is a draft.
    to
        Who makes the parts.
    date
        The day of the order, as it should stand there.
    wanted
        The day by which the parts are wanted, as it should stand there.
    as_json
        Write JSON instead of words.
    pictures
        A folder for the order (PDF) and its drawings (SVG and DXF).
    """
    if not measured:
        raise InputError(
            "--measured names what was measured; the shipped example is leaning-barrel"
        )
    tools = workshop_at(workshop) if workshop else WorkshopTools()
    made_of = material(metal) if metal else None
    repairs = [
        repair
        for each in measured
        for repair in repairs_of(sheet, each, place=place, wanted=made_of, tools=tools)
    ]
    wish = OrderWish(quantity=quantity, number=order, to=to, date=date, wanted=wanted)
    drawn = draw_order(repairs, wish, pictures, tools=tools) if pictures else []
    say(answer(repairs), as_json=as_json, drawn=drawn)


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderWish:
    """What the order says, and how many of each part."""

    quantity: int
    number: str
    to: str
    date: str
    wanted: str

    @property
    def day(self) -> calendar:
        """Return the day of the order where it is written so (2026-03-24), else today."""
        try:
            return calendar.fromisoformat(self.date)
        except ValueError:
            return calendar.today()


def repairs_of(
    sheet: str | None,
    measured: str,
    *,
    place: str | None,
    wanted: Material | None,
    tools: WorkshopTools,
) -> list[Repair]:
    """Return the repairs one file of measurements asks for.

    Raises
    ------
    NotEnough : the verdict asks for no new hole and no place is given
    """
    found = measurements_at(measured, {})
    lying = laid_out(calibre_of(sheet, found), found)
    judged = verdict(lying.bench.case)
    places = (BearingPlace(place),) if place else judged.places
    if not places and judged.action is Action.MEASURE:
        raise NotEnough(f"{measured}: {judged.sentence} Give --place to fit one anyway.")
    if not places:
        raise NotEnough(
            f"{measured}: no new hole is needed ({judged.action}); give --place to fit one anyway"
        )
    wish, reference = FittingWish(tools=tools, made_of=wanted), found.watch or measured
    return [fit_jewel(lying, each, judged, reference=reference, wish=wish) for each in places]


def draw_order(
    repairs: list[Repair], wish: OrderWish, pictures: Path, *, tools: WorkshopTools
) -> list[str]:
    """Write the order as PDF and its sheets as SVG and DXF, and return where they are."""
    from sideshake.documents.blocks import Letterhead
    from sideshake.documents.jewel_order import jewel_order_sheet
    from sideshake.documents.typeset import pdf
    from sideshake.drawings.dxf import dxf_text
    from sideshake.drawings.jewel_sheet import jewel_sheets
    from sideshake.drawings.svg import svg_text

    order = order_of(repairs, wish, tools)
    places = []
    for number, drawing in enumerate(jewel_sheets(order), start=1):
        places.append(save_picture(pictures, f"jewel-order-{number}.svg", svg_text(drawing)))
        places.append(save_picture(pictures, f"jewel-order-{number}.dxf", dxf_text(drawing)))
    head = Letterhead(name=tools.name, address=tools.address, phone=tools.phone, email=tools.email)
    paper = pdf(jewel_order_sheet(order, day=wish.day, head=head))
    return [save_picture(pictures, "jewel-order.pdf", paper), *places]


def order_of(repairs: list[Repair], wish: OrderWish, tools: WorkshopTools) -> "OrderDrawing":
    """Return the order for the new parts of some repairs."""
    from sideshake.drawings.jewel_sheet import OrderDrawing, OrderLine

    return OrderDrawing(
        workshop=tools.name,
        number=wish.number,
        date=wish.date,
        lines=tuple(
            OrderLine(
                part=as_made(each.fit),
                quantity=wish.quantity,
                reference=each.reference,
                name=part_name(each),
            )
            for each in repairs
        ),
        to=wish.to,
        wanted=wish.wanted,
        call=tools.ask,
        phone=tools.phone,
        email=tools.email,
        deliver=tools.address,
        packing=PACKING,
    )


def answer(repairs: list[Repair]) -> CommandAnswer:
    """Return the whole answer: a sentence for each repair, fit and tolerances, the way there."""
    grids = [fit_grid(repairs), chance_grid(repairs)]
    return CommandAnswer(
        schema="jewel",
        sentences=[repair_sentence(each) for each in repairs],
        grids=[*grids, *(plan_grid(each) for each in repairs)],
        notes=[MEMORY, *cautions(repairs)],
        figures={"repairs": [figures(each) for each in repairs]},
    )


def label(number: int, each: Repair) -> str:
    """Return a repair's short name in a table."""
    return f"{number} {each.place}"


def fit_grid(repairs: list[Repair]) -> Grid:
    """Return the table of the press fits."""
    rows = [
        [
            label(number, each),
            f"{each.fit.hold.low_mpa:.0f} to {each.fit.hold.high_mpa:.0f} MPa",
            f"{1000 * each.fit.press.bore_closing_mm:.1f}",
            each.fit.hold.range_n,
            "not measured" if each.fit.wall_left_mm is None else f"{each.fit.wall_left_mm:.2f}",
        ]
        for number, each in enumerate(repairs, start=1)
    ]
    return Grid(
        title="Press fit",
        columns=["part", "pressure", "bore closes (µm)", "holds (N)", "wall left (mm)"],
        rows=rows,
        numbers=(2, 3, 4),
    )


def chance_grid(repairs: list[Repair]) -> Grid:
    """Return the table of the tolerances: how likely each ends inside its limits."""
    rows = [
        [label(number, each), *row]
        for number, each in enumerate(repairs, start=1)
        for row in fit_rows(each.fit)
    ]
    return Grid(
        title="Probability of ending inside the limits",
        columns=["part", "what", "middle (mm)", "inside", "tighten", "then"],
        rows=rows,
        numbers=(2, 3, 5),
    )


def plan_grid(each: Repair) -> Grid:
    """Return the order of work."""
    return Grid(
        title=f"Order of work: {each.reference}, hole {each.place}",
        columns=["", "step"],
        rows=[[str(number), step] for number, step in enumerate(each.plan.steps, start=1)],
        numbers=(0,),
    )


def cautions(repairs: list[Repair]) -> list[str]:
    """Return the cautions of all repairs, each once."""
    return list(dict.fromkeys(str(caution) for each in repairs for caution in each.plan.cautions))


def figures(each: Repair) -> dict[str, Any]:
    """Return one repair's figures for other programs."""
    return {
        "reference": each.reference,
        "place": each.place,
        "origin": each.fit.origin,
        "part": each.fit.part,
        "as_ordered": as_made(each.fit),
        "play": each.fit.play,
        "interference": each.fit.interference,
        "press": each.fit.press,
        "hold": each.fit.hold,
        "wall_left_mm": each.fit.wall_left_mm,
        "reamers_mm": [cut.reamer_mm for cut in each.plan.cuts],
        "press_depth_mm": each.plan.depth_mm,
        "steps": each.plan.steps,
        "cautions": [str(caution) for caution in each.plan.cautions],
    }
