"""The program `sideshake`, also as `python -m sideshake`: Ctrl-C ends it with one line and 130.

Nothing is loaded here before Ctrl-C is looked after, for what is loaded takes a third of a second.
What comes before, Python's own start, is outside our reach.
"""

import os
import sys
from types import FrameType, TracebackType

EXIT_STOPPED = 130
AGAIN_S = 0.02


class Ended:
    """Whether Ctrl-C has ended the command: what is raised after that is no fault of its own."""

    by_hand = False


def main() -> None:
    """Run the command line as a program of its own."""
    sys.excepthook = last_words
    import signal

    signal.signal(signal.SIGINT, leave)
    sys.unraisablehook = once_more
    from sideshake.command.main import main as command

    signal.signal(signal.SIGINT, interrupt)
    try:
        command()
    finally:
        signal.signal(signal.SIGINT, signal.SIG_IGN)  # it ends anyway


def leave(_signal: int = 0, _frame: FrameType | None = None) -> None:
    """End at once; right while nothing has been begun."""
    try:
        os.write(2, b"sideshake: stopped\n")
    finally:
        os._exit(EXIT_STOPPED)


def interrupt(_signal: int, frame: FrameType | None) -> None:
    """Stop the command; while a module is loaded, as soon as it is.

    Compiled modules that are interrupted while they load print that, or take it for a fault of
    their own.
    """
    if must_wait(frame):
        later()
        return
    Ended.by_hand = True
    raise KeyboardInterrupt


def must_wait(frame: FrameType | None) -> bool:
    """Return whether a module is being loaded there, or an interruption is being put off."""
    while frame is not None:
        code = frame.f_code
        if code.co_filename.startswith("<frozen importlib") or code is once_more.__code__:
            return True
        frame = frame.f_back
    return False


def later() -> None:
    """Interrupt this thread, the main one, once more in a moment; if it sleeps then, it wakes."""
    import _thread  # threading waits until a thread runs
    import signal
    import time

    main_thread = _thread.get_ident()

    def wait() -> None:
        time.sleep(AGAIN_S)
        if hasattr(signal, "pthread_kill"):
            signal.pthread_kill(main_thread, signal.SIGINT)
        else:  # Windows
            signal.raise_signal(signal.SIGINT)

    _thread.start_new_thread(wait, ())


def once_more(lost: "sys.UnraisableHookArgs") -> None:
    """Interrupt again if Ctrl-C came while Python tidied up, where nothing can be raised."""
    if issubclass(lost.exc_type, KeyboardInterrupt):
        later()
    else:
        sys.__unraisablehook__(lost)


def last_words(
    kind: type[BaseException], fault: BaseException, trace: TracebackType | None
) -> None:
    """Say what nobody has caught: one line if it was ended by Ctrl-C, else Python's own words."""
    if Ended.by_hand or issubclass(kind, KeyboardInterrupt):
        leave()
    sys.__excepthook__(kind, fault, trace)


if __name__ == "__main__":
    main()
