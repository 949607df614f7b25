"""Make docs/pictures/lateness.svg, rings.svg and portrait.svg: an invented watch, simulated.

python docs/pictures/make_sound_pictures.py
"""

from pathlib import Path

from sideshake.drawings.ring import rings_drawing
from sideshake.drawings.sound import sound_pictures
from sideshake.drawings.svg import svg_text
from sideshake.movement.sheet_file import shipped_sheet
from sideshake.movement.train import escape_teeth
from sideshake.sound.listener import Listener
from sideshake.sound.noise import RoomNoise
from sideshake.sound.simulate import DisturbingWheel, SimulatedWatch, simulate
from sideshake.timing.reading import Reading, read
from sideshake.timing.turn.fold import fold

SHEET = shipped_sheet("tarnbrook-31")
BEFORE = SimulatedWatch(
    amplitude_deg=205.0, rate_s_per_day=-48.0, beat_error_ms=0.9, jitter_us=45.0,
    lift_angle_deg=50.0, wheels=(DisturbingWheel(period_s=6.0, delay_ms=0.2),),
)  # fmt: skip
AFTER = SimulatedWatch(
    amplitude_deg=272.0, rate_s_per_day=4.0, beat_error_ms=0.1, jitter_us=15.0, lift_angle_deg=50.0
)


def heard(watch: SimulatedWatch) -> Reading:
    """Return the reading of a minute and a half of a watch in a quiet room."""
    sound = simulate(watch, duration_s=90, room=RoomNoise(snr_db=22), seed=3)
    listener = Listener(sound.rate_hz)
    listener.feed(sound.samples)
    return read(listener.hear(), lift_angle_deg=SHEET.lift_angle_deg)


def main() -> None:
    """Draw the watch as it came, and its escape wheel before and after the work."""
    teeth = escape_teeth(SHEET)
    if teeth is None:
        raise SystemExit("the sheet does not tell the teeth of the escape wheel")
    before, after = heard(BEFORE), heard(AFTER)
    drawn = sound_pictures(before, teeth)
    rings = svg_text(rings_drawing(fold(before, teeth), fold(after, teeth), place="CH, dial up"))
    for name, svg in {
        "lateness": drawn.lateness,
        "unrolled": drawn.unrolled,
        "portrait": drawn.portrait,
        "rings": rings,
    }.items():
        Path(__file__).with_name(f"{name}.svg").write_text(svg, encoding="utf-8")


if __name__ == "__main__":
    main()
