"""Make docs/pictures/workshop-*.png: the main pages of the demo workshop, in two sizes.

    python docs/pictures/make_workshop_pictures.py [FOLDER]

Makes the demo season in a passing data folder, opens the workshop as anybody would, and takes the
pages with chromium.
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


@contextmanager
def workshop() -> Iterator[str]:
    """Yield the address that signs the restorer in at a running demo workshop."""
    with tempfile.TemporaryDirectory(prefix="sideshake-pictures-") as folder:
        environment = os.environ | {"SIDESHAKE_DATA": folder}
        command = [sys.executable, "-u", "-c", COMMAND]
        subprocess.run([*command, "demo"], env=environment, check=True)
        serve = [*command, "bench", "--no-browser", "--port", str(free_port())]
        with subprocess.Popen(serve, env=environment, stdout=subprocess.PIPE, text=True) as server:
            try:
                yield next(
                    found[0]
                    for line in server.stdout
                    if (found := re.search(r"http://\S+/sign-in/\S+", line))
                )
            finally:
                server.terminate()


def free_port() -> int:
    """Return a port that nobody uses."""
    with socket() as free:
        free.bind(("127.0.0.1", 0))
        return free.getsockname()[1]


def small_png(picture: bytes) -> bytes:
    """Return a picture with so few colours that it loads quickly."""
    made = BytesIO()
    Image.open(BytesIO(picture)).convert("RGB").quantize(COLOURS).save(
        made, format="PNG", optimize=True
    )
    return made.getvalue()
