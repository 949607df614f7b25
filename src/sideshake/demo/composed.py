"""Visits put together from written pieces: which wording comes next is decided by the seed."""

from decimal import Decimal
from random import Random
from typing import Any

from sideshake.core.errors import InputError
from sideshake.demo.mechanism import TYPICAL_HANGING_DEG, TYPICAL_LYING_DEG, calibre_of
from sideshake.demo.script import VisitScript
from sideshake.demo.shapes import Owner, Watch

MAINSPRINGS = {
    "tarnbrook-31": "MS-115-a",
    "quenholt-29": "MS-120-a",
    "wendelmoor-43": "MS-170-old",
    "lindquell-25": "MS-105-a",
    "brisenthal-28": "MS-110-a",
    "corvanne-17": "MS-075-a",
}
CORRECTORS = {"brisenthal-28": "C-28-made", "lindquell-25": "C-25-made"}
OLD_STOCK_CORRECTOR, NEW_CORRECTORS_SINCE = "C-25-old", 200
WORTH = {"gold": 1400, "rose": 900, "silver": 480, "steel": 620, "nickel": 260}
"""What owners say a watch is worth, about, by the colour of its metal (our invention)."""
SMALL_WEEKS, WEEKS = (3, 4), (5, 9)
"""Within how many weeks a small job, and a larger one, are promised."""
SMALL_JOBS = {"magnet", "beat", "stem", "crystal", "cannon", "reversers"}


class Deck:
    """Wordings in an order drawn once; each is used before any comes again."""

    def __init__(self, random: Random) -> None:
        """Take the source of chance."""
        self.random = random
        self.left: dict[str, list[Any]] = {}

    def next_of(self, name: str, choices: list[Any]) -> Any:
        """Return the next wording of that name."""
        if not self.left.get(name):
            self.left[name] = self.random.sample(choices, len(choices))
        return self.left[name].pop()


class Composer:
    """Writes the script of a visit from a row of `rest.toml` and the jobs it names."""

    def __init__(self, pieces: dict[str, Any], random: Random) -> None:
        """Take the written pieces and the source of chance."""
        self.pieces, self.random, self.deck = pieces, random, Deck(random)

    def script(self, row: dict[str, Any], *, watch: Watch, owner: Owner) -> VisitScript:
        """Return the visit's script.

        Raises
        ------
        InputError : the row names a job that nobody described
        """
        jobs = [self.job(name) for name in row["jobs"]]
        before = self.before(jobs, watch) if watch.calibre else None
        small = all(each["name"] in SMALL_JOBS for each in jobs)
        common = {key: value for key, value in row.items() if key not in ("jobs", "cause")}
        return VisitScript.model_validate(
            {
                "key": f"{row['watch']}-{row['ago']}",
                "hero": False,
                "small": small,
                "runs": not any(each["name"] == "stem" for each in jobs),
                "declared_value": self.worth(watch),
                "intro": self.say("intro", self.pieces["words"]["intros"]),
                "weeks": self.random.randint(*(SMALL_WEEKS if small else WEEKS)),
                "channel": owner.prefers,
                "advice": self.say("advice", self.pieces["words"]["advice"]),
                "before": before,
                "look_over": {key: said for job in jobs for key, said in job["look_over"].items()},
                "findings": [self.finding(each, row) for each in jobs],
                "options": [self.option(each, row, watch=watch, before=before) for each in jobs],
                "measured": self.barrel(before) if any(e.get("barrel") for e in jobs) else {},
                **self.journey(owner),
                **common,
            }
        )  # fmt: skip

    def job(self, name: str) -> dict[str, Any]:
        """Return what is written of a job."""
        if name not in self.pieces["jobs"]:
            raise InputError(
                f"no job is called {name!r}; there are {', '.join(self.pieces['jobs'])}"
            )
        return {"name": name, **self.pieces["jobs"][name]}

    def say(self, name: str, choices: list[str]) -> str:
        """Return the next wording."""
        return str(self.deck.next_of(name, choices))

    def worth(self, watch: Watch) -> Decimal:
        """Return the value the owner states, rounded as owners do."""
        about = WORTH[watch.looks.metal] * (2.4 if watch.looks.counters > 1 else 1.0)
        return Decimal(round(about * self.random.uniform(0.7, 1.4) / 50) * 50)

    def journey(self, owner: Owner) -> dict[str, Any]:
        """Return how the watch came and how it is packed."""
        pieces = self.pieces["words"]
        far = owner.country != "United Kingdom" or self.random.random() < 0.3
        came = "parcels" if far else "by_hand"
        return {
            "carrier": far,
            "parcel_seen": self.say(came, pieces[came]),
            "packed": self.say("packed", pieces["packed"]) if far else "",
        }

    def finding(self, job: dict[str, Any], row: dict[str, Any]) -> dict[str, Any]:
        """Return what was found; put right if the watch has been on test since."""
        (found,) = job["findings"]
        return {
            "key": found["key"],
            "title": self.say(f"{job['name']} finding", found["titles"]),
            "detail": self.say(f"{job['name']} detail", found["details"]),
            "severity": found.get("severity", "worn"),
            "picture": found.get("picture"),
            "mended": row["step"] in ("on-test", "ready", "gone-home"),
            "is_cause": job["name"] == row.get("cause"),
        }

    def option(
        self,
        job: dict[str, Any],
        row: dict[str, Any],
        *,
        watch: Watch,
        before: dict[str, float] | None,
    ) -> dict[str, Any]:
        """Return the option that answers the finding."""
        name = job["name"]
        facts = {
            "hanging": round(before["hanging"]) if before else "too few",
            "nominal": round(calibre_of(watch.calibre).hanging_deg),
            "beat": before["beat_error"] if before else "several",
            "hours": self.random.randint(17, 29),
        }
        return {
            "key": name,
            "title": self.say(f"{name} title", job["titles"]),
            "reason": self.say(f"{name} reason", job["reasons"]),
            "evidence": self.say(f"{name} evidence", job["evidences"]).format(**facts),
            "risk": self.say(f"{name} risk", job["risks"]),
            "if_left": self.say(f"{name} left", job["if_lefts"]),
            "minutes": round(job["minutes"] * self.random.uniform(0.9, 1.2) / 15) * 15,
            "parts": self.parts(job, row, watch),
            "picture": job["findings"][0].get("picture"),
            "chosen": row["step"] not in ("arrived", "looked-over", "proposed", "declined"),
        }  # fmt: skip

    def parts(self, job: dict[str, Any], row: dict[str, Any], watch: Watch) -> list[list[str]]:
        """Return the parts of a job: its own, or those of the calibre."""
        if job["name"] == "mainspring":
            return [[MAINSPRINGS[watch.calibre], "mainspring", "28.00"]]
        if job["name"] == "corrector":
            early = watch.calibre == "lindquell-25" and row["ago"] > NEW_CORRECTORS_SINCE
            return [
                [OLD_STOCK_CORRECTOR if early else CORRECTORS[watch.calibre], "corrector", "39.00"]
            ]
        return list(job.get("parts", []))

    def before(self, jobs: list[dict[str, Any]], watch: Watch) -> dict[str, float]:
        """Return how the watch went when it came: by the job that tells most of it."""
        ranges = next((each["before"] for each in jobs if "before" in each), None)
        calibre = calibre_of(watch.calibre)
        lying, hanging = (
            (ranges["lying"], ranges["hanging"]) if ranges else ([238, 256], [206, 224])
        )
        rate, beat = (ranges["rate"], ranges["beat_error"]) if ranges else ([-14, 16], [0.2, 0.8])
        return {
            "lying": round(self.random.uniform(*lying) * calibre.lying_deg / TYPICAL_LYING_DEG),
            "hanging": round(
                self.random.uniform(*hanging) * calibre.hanging_deg / TYPICAL_HANGING_DEG
            ),
            "rate": round(self.random.uniform(*rate), 1),
            "beat_error": round(self.random.uniform(*beat), 1),
        }

    def barrel(self, before: dict[str, float] | None) -> dict[str, Any]:
        """Return the sizes of a barrel that has worn its hole in the bridge."""
        uniform = self.random.uniform
        return {
            "above.hole_long_mm": f"{uniform(0.994, 1.022):.3f}+-0.008",
            "above.hole_short_mm": f"{uniform(0.932, 0.941):.3f}+-0.008",
            "above.long_axis_deg": self.random.randint(80, 112),
            "above.pivot_mm": f"{uniform(0.894, 0.898):.3f}+-0.004",
            "above.room_mm": 2.8,
            "above.thickness_mm": 0.60,
            "below.hole_mm": f"{uniform(0.925, 0.931):.3f}+-0.008",
            "below.pivot_mm": f"{uniform(0.895, 0.899):.3f}+-0.004",
            "barrel.endshake_mm": f"{uniform(0.035, 0.050):.3f}+-0.010",
            "barrel.gap_bridge_mm": "0.20+-0.02",
            "barrel.gap_plate_mm": "0.22+-0.02",
            "lid.hole_mm": "1.215+-0.008",
            "lid.pivot_mm": "1.200+-0.004",
            "floor.hole_mm": "1.215+-0.008",
            "floor.pivot_mm": "1.200+-0.004",
            "barrel.barrel_endshake_mm": "0.040+-0.010",
            "barrel.gap_neighbour_mm": "0.20+-0.02",
            "directions.centre_wheel_deg": 60,
            "directions.crown_wheel_deg": 200,
            "directions.turns": "clockwise",
            "amplitude_deg": before["hanging"] if before else 200,
        }
