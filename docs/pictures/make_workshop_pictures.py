"""Make docs/pictures/workshop-*.png: the main pages of the demo workshop, in two sizes.

    python docs/pictures/make_workshop_pictures.py [FOLDER]

Takes the demo workshop that `sideshake demo FOLDER` made, or makes one in a passing folder; opens
it as anybody would, and takes the pages with chromium.
"""

import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path
from socket import socket

from PIL import Image
from playwright.sync_api import Page, sync_playwright

HERE = Path(__file__).parent
CHROMIUM = "/usr/bin/chromium"
FLAGS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
)  # fmt: skip
SIZES = {"desk": (1280, 800), "tablet": (768, 1024)}
COMMAND = "from sideshake.command.main import main; main()"
COLOURS = 128
MOST_BYTES = 200_000


PAGES = {
    "visits": ("/", "desk"),
    "visit": ("/visits/2026-021/", "desk"),
    "measured": ("/visits/2026-021/measure/", "desk"),
    "look-over": ("/visits/2026-035/look-over/", "tablet"),
    "reading": ("/readings/1/", "tablet"),
    "plan": ("/visits/2026-021/plan/", "tablet"),
    "proposal": ("/visits/2024-001/proposal/1/", "desk"),
}
"""What is taken: the name of the picture, the page, and at which size."""


@contextmanager
def workshop(folder: Path) -> Iterator[str]:
    """Yield the address that signs the restorer in at a running workshop."""
    environment = os.environ | {"SIDESHAKE_DATA": str(folder)}
    serve = [sys.executable, "-u", "-c", COMMAND, "bench", "--no-browser", "--port", free_port()]
    with subprocess.Popen(serve, env=environment, stdout=subprocess.PIPE, text=True) as server:
        assert server.stdout is not None
        try:
            yield next(
                found[0]
                for line in server.stdout
                if (found := re.search(r"http://\S+/sign-in/\S+", line))
            )
        finally:
            server.terminate()
            server.stdout.read()


def free_port() -> str:
    """Return a port nobody uses."""
    with socket() as free:
        free.bind(("127.0.0.1", 0))
        return str(free.getsockname()[1])


def small_png(picture: bytes) -> bytes:
    """Return a picture with so few colours that it loads quickly."""
    made = BytesIO()
    few = Image.open(BytesIO(picture)).convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE)
    few.save(made, format="PNG", optimize=True)
    return made.getvalue()


def taken(page: Page, name: str, address: str) -> Path:
    """Return where the picture of a page lies: what the screen shows of it first."""
    page.goto(address)
    page.wait_for_load_state("networkidle")
    path = HERE / f"workshop-{name}.png"
    path.write_bytes(small_png(page.screenshot()))
    if path.stat().st_size > MOST_BYTES:
        raise SystemExit(f"{path.name} has more than {MOST_BYTES} bytes")
    return path


def take_all(way_in: str) -> None:
    """Take every page at its size."""
    base = way_in.partition("/sign-in/")[0]
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        pages = {}
        for size, (width, height) in SIZES.items():
            known = pages["desk"].context.storage_state() if pages else None
            context = browser.new_context(
                viewport={"width": width, "height": height}, storage_state=known
            )
            pages[size] = context.new_page()
            if known is None:
                pages[size].goto(way_in)
                with pages[size].expect_navigation():
                    pages[size].get_by_role("button", name="Come in").click()
        for name, (path, size) in PAGES.items():
            taken(pages[size], name, base + path)
        browser.close()


def main() -> None:
    """Take the pictures of the demo workshop: the one in the folder given, or a new one."""
    with tempfile.TemporaryDirectory(prefix="sideshake-pictures-") as passing:
        folder = Path(sys.argv[1]) if sys.argv[1:] else Path(passing)
        if not (folder / "workshop").exists():
            demo = [sys.executable, "-c", COMMAND, "demo", str(folder)]
            subprocess.run(demo, check=True, stdout=subprocess.DEVNULL)
        with workshop(folder / "workshop") as way_in:
            take_all(way_in)


if __name__ == "__main__":
    main()
