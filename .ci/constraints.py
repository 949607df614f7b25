"""Write constraints.txt from the report of a trial installation, given on standard input."""

import json
import sys
from pathlib import Path

HEAD = "# The versions everything was tested with; `make constraints` writes this file anew.\n"


def main() -> None:
    """Write one line `name==version` for each package that would be installed."""
    installed = [each["metadata"] for each in json.load(sys.stdin)["install"]]
    pins = {each["name"].lower().replace("_", "-"): each["version"] for each in installed}
    del pins["sideshake"]
    lines = [f"{name}=={pins[name]}\n" for name in sorted(pins)]
    Path("constraints.txt").write_text(HEAD + "".join(lines), encoding="utf-8")


if __name__ == "__main__":
    main()
