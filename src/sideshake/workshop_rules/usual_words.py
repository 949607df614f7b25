"""What a workshop's papers say in its own words, as long as it has written no others."""

from sideshake.wording import noop

WARRANTY = noop(
    "Covers the work named in the invoice. It ends with a shock, with water or when the watch is "
    "opened elsewhere; the water resistance of an old case is not covered."
)
