"""What a person types into a field: decimal commas become points."""

import re

COMMA_BEFORE_DIGIT = re.compile(r",(?=\d)")


def with_points(text: str) -> str:
    """Return what was typed with decimal points; a comma before a blank parts two readings.

    Examples
    --------
    >>> with_points("0,921; 0,924"), with_points("0,921, 0,924")
    ('0.921; 0.924', '0.921; 0.924')
    """
    return COMMA_BEFORE_DIGIT.sub(".", text.strip()).replace(", ", "; ")
