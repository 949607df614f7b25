"""Lost wheels and pinions: every whole-number answer, and the module and distance it needs."""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from sideshake.core.errors import InputError, Lacking, NotEnough
from sideshake.movement.sheet import Arbor, Train
from sideshake.movement.train import BEATS_PER_TOOTH, ESCAPE, Mesh, meshes

LEAVES = range(6, 21)
"""Usual leaves of a watch or clock pinion (common practice, no source)."""
TEETH = range(30, 151)
"""Usual teeth of a wheel (common practice, no source)."""
USUAL_MODULES_MM = (0.06, 0.30)
"""Modules of watch trains, barrel included, with some room (from memory: 0.07 to 0.20)."""
ESCAPE_TEETH = range(10, 33)
"""Teeth of an escape wheel, with room (15 and 20 are usual; from memory)."""
MOST_LOST = 4
BALANCE = "balance"
MESH_TOLERANCE = 0.02
"""A module may differ by 2 % from its neighbour's before the pair is called unfit (no source)."""

Counts = dict[tuple[str, str], int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Speed:
    """What is known of an arbor: its turns an hour."""

    arbor: str
    turns_per_hour: Fraction

    def __post_init__(self) -> None:
        if self.turns_per_hour <= 0:
            raise InputError(f"{self.arbor} must turn forward, got {self.turns_per_hour} an hour")


@dataclass(frozen=True, slots=True, kw_only=True)
class MeshSize:
    """A mesh of an answer: teeth, and the size the parts need. Lengths None where unknown."""

    name: str
    wheel: int
    pinion: int
    module_mm: float | None
    centre_distance_mm: float | None
    fits: bool | None
    """None when either length is unknown, so that nothing can be compared."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LostWheelAnswer:
    """One way to fill the lost places of the train."""

    train: Train
    found: tuple[tuple[str, int], ...]
    """("third.pinion", 10) and so on."""
    meshes: tuple[MeshSize, ...]

    @property
    def fits(self) -> bool:
        """Return whether no mesh contradicts the modules and distances that are known."""
        return all(mesh.fits is not False for mesh in self.meshes)


def lost_counts(
    train: Train, known: tuple[Speed, ...], *, beats_per_hour: int | None = None
) -> tuple[LostWheelAnswer, ...]:
    """Return every train with whole numbers in the lost places that gives the known speeds.

    Parameters
    ----------
    train : with None for each lost wheel or pinion
    known : speeds of at least two arbors, for instance centre 1 and escape 600 turns an hour
    beats_per_hour : needed when the escape wheel is lost: each of its teeth lets two beats pass

    Returns
    -------
    the answers, those first whose modules agree with the known distances, then fewest leaves

    Raises
    ------
    InputError : nothing is lost, too much is, or a known arbor is not in the train
    NotEnough : no whole numbers serve, or nothing fixes the speed across a lost place

    References
    ----------
    m = 2 a / (Z + p): any textbook; "lost wheel and pinion", Learned (1897), pp. 44 ff.
    """
    if escape_wheel_lost(train):
        train, known = with_balance(train, known, beats_per_hour)
    links = meshes(train)
    lost = lost_places(links)
    require_solvable(train, lost, known)
    ratios = constraints(links, known)
    for place in lost:
        if not any(place in places_of(path) for path, _ in ratios):
            raise NotEnough(f"no known speed fixes {place[0]}.{place[1]}; state one more")
    answers = [answer(train, counts, lost) for counts in filled(lost, ratios, {})]
    if not answers:
        raise NotEnough(
            f"no whole numbers of {LEAVES[0]} to {LEAVES[-1]} leaves and {TEETH[0]} to "
            f"{TEETH[-1]} teeth ({ESCAPE_TEETH[0]} to {ESCAPE_TEETH[-1]} of an escape wheel) give "
            "these speeds"
        )
    return tuple(sorted(answers, key=lambda each: (not each.fits, sum(n for _, n in each.found))))


def escape_wheel_lost(train: Train) -> bool:
    """Return whether the train has an escape wheel whose teeth lack."""
    return any(arbor.name == ESCAPE and arbor.wheel is None for arbor in train.arbors)


def with_balance(
    train: Train, known: tuple[Speed, ...], beats_per_hour: int | None
) -> tuple[Train, tuple[Speed, ...]]:
    """Return the train with the balance as its last arbor: each tooth lets one whole swing pass.

    So the escape wheel is a wheel like the others, on a pinion with one leaf.
    """
    if beats_per_hour is None:
        raise Lacking("a lost escape wheel is solved from the beats an hour: beats_per_hour lacks")
    swings = Speed(arbor=BALANCE, turns_per_hour=Fraction(beats_per_hour, BEATS_PER_TOOTH))
    arbor = Arbor(name=BALANCE, pinion=1, driven_by=ESCAPE)
    return train.model_copy(update={"arbors": (*train.arbors, arbor)}), (*known, swings)


def require_solvable(train: Train, lost: list[tuple[str, str]], known: tuple[Speed, ...]) -> None:
    """Refuse a search with nothing to find, with too much, or for arbors that are not there."""
    if not lost:
        raise InputError("no wheel or pinion is lost: every count in the train is given")
    if len(lost) > MOST_LOST:
        raise InputError(f"{len(lost)} counts are lost, at most {MOST_LOST} can be solved")
    names = {arbor.name for arbor in train.arbors}
    for speed in known:
        if speed.arbor not in names:
            raise InputError(f"a speed is given for {speed.arbor!r}, which is not in the train")


def lost_places(links: tuple[Mesh, ...]) -> list[tuple[str, str]]:
    """Return which counts lack, as (arbor, "wheel" or "pinion")."""
    lacking = [
        place
        for mesh in links
        for place, known in ((wheel_place(mesh), mesh.wheel_or_none), pinion_of(mesh))
        if known is None
    ]
    return list(dict.fromkeys(lacking))


def constraints(
    links: tuple[Mesh, ...], known: tuple[Speed, ...]
) -> list[tuple[tuple[Mesh, ...], Fraction]]:
    """Return each run of meshes between two known arbors, with the ratio it must give."""
    driver_of = {link.driven.name: link for link in links}
    speed_of = {speed.arbor: speed.turns_per_hour for speed in known}
    found = []
    for name, speed in speed_of.items():
        path: list[Mesh] = []
        above = name
        while above in driver_of and (above == name or above not in speed_of):
            path.insert(0, driver_of[above])
            above = driver_of[above].driver.name
        if path and above in speed_of:
            found.append((tuple(path), speed / speed_of[above]))
    return found


def places_of(path: tuple[Mesh, ...]) -> list[tuple[str, str]]:
    """Return the places whose counts make the ratio of a run of meshes."""
    return [place for m in path for place in (wheel_place(m), pinion_of(m)[0])]


def pinion_of(mesh: Mesh) -> tuple[tuple[str, str], int | None]:
    """Return the place of a mesh's pinion, and its leaves; None where they lack."""
    return (mesh.driven.name, "pinion"), mesh.driven.pinion


def wheel_place(mesh: Mesh) -> tuple[str, str]:
    """Return the place of a mesh's wheel; a second wheel on an arbor is its driven arbor's line."""
    if mesh.driven.driver_wheel is not None:
        return mesh.driven.name, "driver_wheel"
    return mesh.driver.name, "wheel"


def filled(
    lost: list[tuple[str, str]],
    ratios: list[tuple[tuple[Mesh, ...], Fraction]],
    counts: Counts,
) -> Iterator[Counts]:
    """Yield every filling of the lost places that gives all ratios."""
    open_places = [place for place in lost if place not in counts]
    if not open_places:
        if all(ratio_of(path, counts) == ratio for path, ratio in ratios):
            yield counts
        return
    place = open_places[0]
    for count in candidates(place, open_places, ratios=ratios, counts=counts):
        yield from filled(lost, ratios, {**counts, place: count})


def candidates(
    place: tuple[str, str],
    open_places: list[tuple[str, str]],
    *,
    ratios: list[tuple[tuple[Mesh, ...], Fraction]],
    counts: Counts,
) -> list[int]:
    """Return the counts worth trying: one if a ratio decides it, else all usual ones."""
    usual = usual_counts(place)
    for path, ratio in ratios:
        inside = places_of(path)
        if place in inside and not any(each in inside for each in open_places if each != place):
            left = ratio / ratio_of(path, {**counts, place: 1})
            needed = left if place[1] == "wheel" else 1 / left
            return [int(needed)] if needed.denominator == 1 and int(needed) in usual else []
    return list(usual)


def usual_counts(place: tuple[str, str]) -> range:
    """Return the counts that a lost wheel or pinion may have."""
    if place == (ESCAPE, "wheel"):
        return ESCAPE_TEETH
    return TEETH if place[1] == "wheel" else LEAVES


def ratio_of(path: tuple[Mesh, ...], counts: Counts) -> Fraction:
    """Return the ratio of a run of meshes, lost places taken from `counts`."""
    ratio = Fraction(1)
    for mesh in path:
        wheel = mesh.wheel_or_none or counts[mesh.driver.name, "wheel"]
        pinion = mesh.driven.pinion or counts[mesh.driven.name, "pinion"]
        ratio *= Fraction(wheel, pinion)
    return ratio


def answer(train: Train, counts: Counts, lost: list[tuple[str, str]]) -> LostWheelAnswer:
    """Return the whole train of one filling, with the sizes of the meshes it touches."""
    arbors = tuple(
        arbor.model_copy(
            update={part: counts[name, part] for name, part in lost if name == arbor.name}
        )
        for arbor in train.arbors
        if arbor.name != BALANCE
    )
    whole = train.model_copy(update={"arbors": arbors})
    touched = [mesh for mesh in meshes(whole) if set(places_of((mesh,))) & set(lost)]
    return LostWheelAnswer(
        train=whole,
        found=tuple((f"{name}.{part}", counts[name, part]) for name, part in lost),
        meshes=tuple(mesh_size(mesh) for mesh in touched),
    )


def mesh_size(mesh: Mesh) -> MeshSize:
    """Return a mesh with its module from the centre distance, or the distance from the module.

    With both known they are compared; with the distance alone the module must be a usual one.
    """
    module, distance = mesh.driven.pinion_module_mm, mesh.driven.centre_distance_mm
    teeth = mesh.wheel + mesh.pinion
    needed = 2 * distance.value / teeth if distance else None
    fits = None
    if needed is not None:
        low, high = USUAL_MODULES_MM
        fits = low <= needed <= high
        if module is not None:
            fits = abs(needed / module.value - 1) <= MESH_TOLERANCE
    if needed is None and module is not None:
        needed = module.value
    return MeshSize(
        name=mesh.name,
        wheel=mesh.wheel,
        pinion=mesh.pinion,
        module_mm=needed,
        centre_distance_mm=needed * teeth / 2 if needed is not None else None,
        fits=fits,
    )
