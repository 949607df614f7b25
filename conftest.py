"""For all that pytest collects: examples are looked for where there are any."""

from pathlib import Path

SOURCE = Path(__file__).parent / "src"


def pytest_ignore_collect(collection_path):
    """Leave out the modules without an example: to load them all takes as long as many tests."""
    source = SOURCE in collection_path.parents and collection_path.suffix == ".py"
    return True if source and ">>>" not in collection_path.read_text("utf-8") else None
