"""Every fault as one sentence: what a command says when something went wrong, and how it ends."""

import errno
import os
import traceback

from sideshake.core.errors import InputError, NotEnough, first_line

EXIT_OURS = 1
EXIT_INPUT = 2
EXIT_NOT_ENOUGH = 3
WHOLE_TRACE = "SIDESHAKE_TRACE"
"""With this variable set, a fault of the program is told with all that led to it."""
ADVICE = {
    errno.ENOSPC: "there is no room left on the disk; nothing was written half",
    errno.EDQUOT: "there is no room left for you on the disk; nothing was written half",
    errno.EROFS: "the disk can only be read there; choose another place",
    errno.EACCES: "you may not read or write there; choose another place, or ask who may",
    errno.EPERM: "this is not allowed there; choose another place",
    errno.EISDIR: "it is a folder, not a file",
    errno.ENOTDIR: "a file stands where a folder is needed",
    errno.ENOENT: "it is not there",
    errno.ENAMETOOLONG: "the name is too long",
    errno.EIO: "the disk cannot be read or written there; it may be failing: make a backup",
}

TOO_MUCH: dict[tuple[type[Exception], ...], str] = {
    (RecursionError, MemoryError): "what was given is too large or too deeply nested to be read",
    (OverflowError,): "a value that was given is too large or too small to compute with",
}


def told(fault: Exception) -> tuple[str, int]:
    """Return a fault as a sentence and the code that the command ends with."""
    if isinstance(fault, InputError):
        return str(fault), EXIT_INPUT
    if isinstance(fault, NotEnough):
        return f"no answer: {fault}", EXIT_NOT_ENOUGH
    if isinstance(fault, OSError):
        return system_words(fault), EXIT_INPUT
    if type(fault).__module__.startswith("django.db"):
        return database_words(fault), EXIT_INPUT
    for kinds, words in TOO_MUCH.items():
        if isinstance(fault, kinds):
            return words, EXIT_INPUT
    return own_words(fault), EXIT_OURS


def system_words(fault: OSError) -> str:
    """Return what the system refused, and what helps."""
    place = f"{fault.filename}: " if fault.filename else ""
    why = ADVICE.get(fault.errno or 0) or str(fault.strerror or fault).lower()
    return f"{place}{why}"


def database_words(fault: Exception) -> str:
    """Return that the records could not be read or written, and what helps."""
    return (
        f"the records cannot be read or written ({first_line(fault)}); what was saved before is "
        "safe where the disk is. If this comes again, bring back the newest backup: "
        "docs/workshop.md, Backups"
    )


def own_words(fault: Exception) -> str:
    """Return that this is a fault of the program, and where it lies."""
    if os.environ.get(WHOLE_TRACE):
        return "a fault in the program itself\n" + "".join(traceback.format_exception(fault))
    last = traceback.extract_tb(fault.__traceback__)[-1:]
    place = "".join(f" in {frame.name}, line {frame.lineno}" for frame in last)
    return (
        f"a fault in the program itself ({type(fault).__name__}{place}); nothing that was saved is "
        f"lost. With {WHOLE_TRACE}=1 it tells all"
    )
