"""The photograph that is measured in just now, decoded once for every press and its pictures."""

from functools import lru_cache
from pathlib import Path

from sideshake.photo.light import LightPhotograph, photograph
from sideshake.web.evidence.photographs import limits


@lru_cache(maxsize=1)
def opened(path: Path) -> LightPhotograph:
    """Return a photograph decoded; a file is named after its content and never changes.

    Only one stays in memory: 48 million pixels in colour take 144 MB.
    """
    return photograph(path, limits=limits())
