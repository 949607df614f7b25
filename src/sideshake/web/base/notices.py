"""What the start found, told once on the first page that is opened."""

from django.core.cache import cache

NEWS = "start-news"


def keep_notices(sentences: list[str]) -> None:
    """Keep sentences until a page shows them."""
    if sentences:
        cache.set(NEWS, sentences, None)


def told_once() -> list[str]:
    """Return what is new since the start; the next time it is empty."""
    news: list[str] | None = cache.get(NEWS)
    if news is None:
        return []
    cache.delete(NEWS)
    return news
