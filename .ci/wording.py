"""Bring the catalogues of the owner's papers up to date with the code, and compile them.

What is marked in the code is put into each language's `papers.po`, empty where it is new; what is
said no longer goes. `papers.mo`, which the program reads, is made from it.
"""

import re
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from sideshake.workshop_rules.acceptance import LISTED
from sideshake.workshop_rules.findings import USUAL
from sideshake.workshop_rules.jobs import JOBS
from sideshake.workshop_rules.need import WorkNeed

ROOT = Path(__file__).resolve().parents[1]
CODE = ROOT / "src/sideshake"
LOCALE = CODE / "wording/locale"
KEYWORDS = {
    "_": None, "gettext": None, "noop": None, "ngettext": (1, 2), "pgettext": ((1, "c"), 2),
}  # fmt: skip
SAME_DAY = datetime(2026, 11, 30, tzinfo=UTC)
MARKED = "from sideshake.wording import"
PAGES = re.compile(r"from django.utils.translation import gettext(_lazy)? as _$", re.MULTILINE)
"""What `_` marks there is said on a page, not on an owner's paper."""


def main() -> int:
    """Write every catalogue; return how many messages lack their translation, 1 at most."""
    template = marked()
    lacking = 0
    for path in sorted(LOCALE.glob("*/LC_MESSAGES/papers.po")):
        known = catalogue_of(path)
        known.update(template, no_fuzzy_matching=True, update_header_comment=False)
        known.obsolete.clear()
        known.creation_date = SAME_DAY
        path.write_bytes(po_bytes(known))
        path.with_suffix(".mo").write_bytes(mo_bytes(known))
        missing = [each.id for each in known if each.id and not is_said(each.string)]
        lacking += len(missing)
        print(f"{known.locale}: {len(known)} messages, {len(missing)} without their translation")
    return min(lacking, 1)


def marked() -> Catalog:
    """Return every message that is marked in the code, with the files it stands in."""
    template = Catalog()
    for path, message, context in messages():
        place = (path.relative_to(ROOT).as_posix(), 0)
        template.add(message, locations=[place], context=context)
    return template


def messages() -> Iterator[tuple[Path, str | tuple[str, ...], str | None]]:
    """Yield the file, the message (with its plural) and its context, of the code and its tables."""
    yield from in_code()
    for module, message in in_tables():
        yield CODE / "workshop_rules" / module, message, None


def in_tables() -> Iterator[tuple[str, str]]:
    """Yield the module and the message of every row that an owner reads, of checked tables."""
    for each in USUAL:
        yield from (("findings.py", words) for words in (each.title, each.plain))
    for each in JOBS:
        told = (each.title, each.risk, each.if_left, *each.parts, each.outwork)
        yield from (("jobs.py", words) for words in told if words)
    for each in LISTED:
        yield from (("acceptance.py", words) for words in (each.check.title, each.check.noted))
    yield from (("need.py", each.value) for each in WorkNeed)


def in_code() -> Iterator[tuple[Path, str | tuple[str, ...], str | None]]:
    """Yield what is marked in the code, in order of the files."""
    for path in sorted(CODE.rglob("*.py")):
        code = path.read_text(encoding="utf-8")
        if MARKED not in code or PAGES.search(code):
            continue
        with path.open("rb") as stream:
            for _line, message, _notes, context in extract("python", stream, keywords=KEYWORDS):
                yield path, message, context


def catalogue_of(path: Path) -> Catalog:
    """Return a language's catalogue as it is kept, with nothing that differs from day to day."""
    with path.open("rb") as stream:
        kept = read_po(stream, locale=path.parts[-3], domain="papers")
    said = Catalog(
        kept.locale, domain="papers", header_comment="", project="Sideshake", version="1",
        creation_date=SAME_DAY, revision_date=SAME_DAY, fuzzy=False,
        msgid_bugs_address="none", last_translator="Sideshake", language_team="Sideshake",
    )  # fmt: skip
    for each in kept:
        if each.id:
            said[each.id] = each
    return said


def po_bytes(catalogue: Catalog) -> bytes:
    """Return a catalogue as the text that is translated in; the same for the same messages."""
    written = BytesIO()
    write_po(
        written, catalogue, width=100, sort_output=True, include_lineno=False, omit_header=False
    )
    return written.getvalue()


def mo_bytes(catalogue: Catalog) -> bytes:
    """Return a catalogue as the program reads it."""
    written = BytesIO()
    write_mo(written, catalogue)
    return written.getvalue()


def is_said(string: str | tuple[str, ...]) -> bool:
    """Return whether a message has its translation, in every plural form."""
    return all(string) if isinstance(string, tuple) else bool(string)


if __name__ == "__main__":
    sys.exit(main())
