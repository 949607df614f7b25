"""Inputs spoilt on purpose, for every command that reads a file or a value somebody types.

A seed gives the same inputs again. Nothing here knows how the commands check what they read.
"""

import re
from dataclasses import dataclass
from pathlib import Path
from random import Random

import numpy as np
import soundfile
from PIL import Image

import sideshake

PACKAGE = Path(sideshake.__file__).parent
SHEETS = sorted((PACKAGE / "movement" / "calibres").glob("*.toml"))
MEASURED = PACKAGE / "wear" / "examples" / "leaning-barrel.toml"
WORKSHOP = PACKAGE / "fit" / "examples" / "demo-workshop.toml"
REPAIRS = "pivot_mm,play_low_mm,play_high_mm,room_mm\n0.9,0.02,0.03,2.4\n0.6,0.015,0.02,1.8\n"
STOCK = "thickness_mm,height_mm,length_mm\n0.11,1.15,327\n0.12,1.2,340\n"
ODD = (
    "", "-1", "0", "1e308", "1e-308", "inf", "nan", "-0", "1e999", "0x10", "1/0", "1/3", "½", "٣",
    "0.92+-inf", "0.92+-", "+-0.01", "0.92 ± 0.01 ± 0.02", "0.92±nan", "true", "[]", "{}", "[[1]]",
    "9" * 400, "a" * 5000, "\x00", "\u202e0.9", "24:00", "-3:00", "25:61", "third.wheel=",
    "=10", "third.wheel=1e9", "x" * 300 + ".toml", "/", ".", "..", "~", "-", "--", "1,2", "1 2",
)  # fmt: skip
DEEP = "[" * 3000 + "]" * 3000
OPTIONS = {
    ("calibre", "check"): (),
    ("train",): ("--heard-s", "--lost", "--count", "--speed"),
    ("spring",): ("--amplitude-deg", "--thickness-mm", "--turns"),
    ("winding",): ("--rotor-play-mm",),
    ("quickset",): ("--touch", "--jump", "--free", "--read-to-min", "--margin-h"),
    ("barrel",): ("--hole-above-mm", "--pivot-above-mm", "--endshake-mm", "--gap-plate-mm",
                  "--amplitude-deg"),
    ("carecard", "--watch", "a watch", "--workshop", "a shop", "--to", "card.pdf"): (
        "--next-service", "--date-moves"),
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Spoilt:
    """What is typed, and the files it is typed beside (name and bytes)."""

    tokens: tuple[str, ...]
    files: tuple[tuple[str, bytes], ...] = ()


def spoilt(seed: int) -> Spoilt:
    """Return the spoilt input of a seed."""
    random = Random(seed)
    return random.choice(KINDS)(random)


def typed(random: Random) -> Spoilt:
    """Return a command with an odd value in one of its options, on a sound sheet."""
    command = random.choice(list(OPTIONS))
    names = OPTIONS[command]
    more = [word for name in random.sample(names, k=min(len(names), random.randint(0, 2)))
            for word in (name, random.choice(ODD))]  # fmt: skip
    sheet = random.choice(SHEETS).stem if random.random() < 0.9 else random.choice(ODD)
    return Spoilt(tokens=(*command, sheet, *more))


def sheet_file(random: Random) -> Spoilt:
    """Return a command on a spoilt calibre sheet."""
    text = broken(random, random.choice(SHEETS).read_text("utf-8"))
    return Spoilt(tokens=(*random.choice(list(OPTIONS)), "own.toml"), files=(("own.toml", text),))


def measured_file(random: Random) -> Spoilt:
    """Return a barrel or a jewel from spoilt measurements."""
    text = broken(random, MEASURED.read_text("utf-8"))
    command = random.choice(("barrel", "jewel"))
    return Spoilt(tokens=(command, "--measured", "m.toml"), files=(("m.toml", text),))


def workshop_file(random: Random) -> Spoilt:
    """Return a jewel made with spoilt tools."""
    text = broken(random, WORKSHOP.read_text("utf-8"))
    tokens = ("jewel", "--measured", "leaning-barrel", "--workshop", "w.toml")
    return Spoilt(tokens=tokens, files=(("w.toml", text),))


def table_file(random: Random) -> Spoilt:
    """Return a command on a spoilt table."""
    if random.random() < 0.5:
        return Spoilt(tokens=("batch", "r.csv"), files=(("r.csv", broken(random, REPAIRS)),))
    tokens = ("spring", random.choice(SHEETS).stem, "--stock", "s.csv")
    return Spoilt(tokens=tokens, files=(("s.csv", broken(random, STOCK)),))


def sound_file(random: Random) -> Spoilt:
    """Return a recording that is short, odd or damaged, to be heard or compared."""
    length = random.choice((0, 1, 2, 30, 31, 500, 48000))
    rate_hz = random.choice((1, 8000, 22050, 48000, 192000))
    channels = random.choice((1, 2, 7))
    samples = np.random.default_rng(random.randrange(2**32)).normal(0, 0.1, (length, channels))
    path = Path("a.wav")
    soundfile.write(path, samples, rate_hz, subtype=random.choice(("PCM_16", "FLOAT", "PCM_24")))
    data = bytearray(path.read_bytes())
    for _each in range(random.randint(0, 6)):
        data[random.randrange(min(len(data), 60))] = random.randrange(256)
    data = data[: random.choice((len(data), len(data) // 2, 20, 44))]
    tokens = random.choice((("hear", "a.wav"), ("compare", "a.wav", "a.wav"), ("clock", "a.wav")))
    return Spoilt(tokens=tokens, files=(("a.wav", bytes(data)),))


def photo_file(random: Random) -> Spoilt:
    """Return a photograph that is tiny, blank, noise, a disc or damaged, to be measured in."""
    size = random.choice(((1, 1), (2, 90), (64, 64), (150, 120)))
    name = random.choice(("p.png", "p.jpg", "p.webp"))
    drawn_light(random, size).save(name)
    data = bytearray(Path(name).read_bytes())
    for _each in range(random.choice((0, 0, 1, 5))):
        data[random.randrange(len(data))] = random.randrange(256)
    data = data[: random.choice((len(data), len(data), len(data) // 2, 20))]
    place = random.choice((("50", "50"), ("0", "100"), (random.choice(ODD), "50")))
    return Spoilt(
        tokens=("look", *random.choice(LOOKS)(random), name, "--at", *place),
        files=((name, bytes(data)),),
    )


LOOKS = (
    lambda random: ("hole", "--lines", "100", random.choice(("100", *ODD))),
    lambda random: ("hole", "--known", "50", "50", "--known-mm", random.choice(("1", *ODD))),
    lambda random: ("hole", "--points", "1", "1", "90", "90", "--length-mm", random.choice(ODD)),
    lambda random: ("wheel", "--expect", random.choice(("31", *ODD))),
    lambda random: ("pivot", "--um-a-pixel", random.choice(("12", *ODD))),
)


def drawn_light(random: Random, size: tuple[int, int]) -> Image.Image:
    """Return a picture of one grey, of noise, or of a dark disc."""
    wide, high = size
    noise = np.random.default_rng(random.randrange(2**32)).integers(0, 256, (high, wide))
    across, down = np.meshgrid(np.arange(wide) - wide / 2, np.arange(high) - high / 2)
    disc = np.where(np.hypot(across, down) < min(size) / 3, 20, 200)
    chosen = random.choice((noise, np.full_like(noise, random.choice((0, 90, 255))), disc))
    return Image.fromarray(chosen.astype(np.uint8)).convert(random.choice(("L", "RGB")))


def broken(random: Random, text: str) -> bytes:
    """Return a text with one to four faults in it."""
    lines = text.splitlines()
    for _each in range(random.randint(1, 2)):
        random.choice(FAULTS)(random, lines)
    data = bytearray("\n".join(lines).encode("utf-8", "surrogatepass"))
    if random.random() < 0.2 and data:
        data[random.randrange(len(data))] = random.randrange(256)
    if random.random() < 0.05:
        data = data[: random.randrange(len(data) + 1)]
    return bytes(data)


def at(random: Random, lines: list[str]) -> int:
    """Return a line's number; a text without lines gets one."""
    if not lines:
        lines.append("")
    return random.randrange(len(lines))


def dropped(random: Random, lines: list[str]) -> None:
    """Take a line out."""
    del lines[at(random, lines)]


def doubled(random: Random, lines: list[str]) -> None:
    """Say a line twice."""
    place = at(random, lines)
    lines.insert(place, lines[place])


def odd_value(random: Random, lines: list[str]) -> None:
    """Put something odd behind an equals sign or a comma."""
    place = at(random, lines)
    for sign in ("=", ","):
        if sign in lines[place]:
            head, _, _ = lines[place].rpartition(sign)
            value = random.choice((*ODD, DEEP, '"' + random.choice(ODD) + '"'))
            lines[place] = f"{head}{sign} {value}"
            return
    lines[place] = random.choice(ODD)


def renamed(random: Random, lines: list[str]) -> None:
    """Give a line another name."""
    place = at(random, lines)
    lines[place] = random.choice(("x", "k" * 400, "a.b.c.d", '"é"', "[[x]]")) + lines[place]


def nested(random: Random, lines: list[str]) -> None:
    """Put a table where a value belongs."""
    place = at(random, lines)
    name = lines[place].partition("=")[0].strip() or "x"
    lines[place] = f"{name} = {{ value = {{ value = 1 }}, source = 3, from_memory = 'maybe' }}"


def odd_number(random: Random, lines: list[str]) -> None:
    """Put an odd number in the place of a number."""
    place = at(random, lines)
    found = list(re.finditer(r"\d+(?:\.\d+)?", lines[place]))
    if found:
        where = random.choice(found)
        value = random.choice(("0", "-1", "1e308", "1e-308", "inf", "nan", "1e6", "0.001", "7.5"))
        lines[place] = lines[place][: where.start()] + value + lines[place][where.end() :]


FAULTS = (dropped, odd_value, odd_value, doubled, renamed, nested, *4 * (odd_number,))
KINDS = (
    typed, sheet_file, measured_file, table_file, sound_file, workshop_file, photo_file,
)  # fmt: skip
