"""What is typed into the forms of proposals and invoices."""

from sideshake.web.models import Option

BLANK = {"lines-TOTAL_FORMS": "1", "lines-INITIAL_FORMS": "0"}


def option_typed(option: Option, *lines: tuple[str, str, str, str], **more) -> dict[str, str]:
    typed = {"title": option.title, "need": "advised", "seen": str(option.version), **more}
    typed |= {"lines-TOTAL_FORMS": str(len(lines)), "lines-INITIAL_FORMS": "0"}
    for at, (text, quantity, each, tax) in enumerate(lines):
        typed |= {f"lines-{at}-text": text, f"lines-{at}-kind": "work",
                  f"lines-{at}-quantity": quantity, f"lines-{at}-each": each,
                  f"lines-{at}-tax_percent": tax}  # fmt: skip
    return typed
