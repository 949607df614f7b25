"""Options that several commands share."""

from typing import Annotated

from cyclopts import Parameter

Json = Annotated[bool, Parameter(name="--json", negative="")]
Flag = Annotated[bool, Parameter(negative="")]
