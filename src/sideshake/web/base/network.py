"""Where this computer is found in the local network."""

import socket

from sideshake.core.errors import InputError

TESTING_ADDRESS = ("192.0.2.1", 9)
"""RFC 5737: belongs to nobody. Nothing is sent; the system only chooses the way it would take."""


def lan_address() -> str:
    """Return this computer's address in the local network.

    Raises
    ------
    InputError : it has none
    """
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(TESTING_ADDRESS)
        except OSError:
            raise InputError("this computer is in no network; start without --lan") from None
        return str(probe.getsockname()[0])
