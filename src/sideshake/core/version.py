"""Which program this is, and which ear: what was computed by another one can be told apart.

Every reading that is kept and every `--json` carries them. `pyproject.toml` takes the program's
version from here.
"""

PROGRAM = "0.1.0"

# Raise it with every change after which the same sound gives other figures, other uncertainties
# or another "no reading": a change in `sound/`, in `timing/reading.py` or `timing/amplitude.py`, or
# in what they rest on. Not for wording, pictures or speed. `tests/test_version.py` fails when the
# ear answers otherwise under the same number; `python tests/ear_answers.py` writes its answers down
# anew.
EAR = 6

FIRST_EAR = 1
"""Heard before versions were kept: by which program is not known."""
