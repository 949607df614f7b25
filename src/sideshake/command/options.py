"""Options that several commands share."""

from typing import Annotated

from cyclopts import Parameter

PORT = 8137
"""Where the browser finds the workshop."""

Json = Annotated[bool, Parameter(name="--json", negative="")]
Flag = Annotated[bool, Parameter(negative="")]
