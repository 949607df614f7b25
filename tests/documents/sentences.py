"""What every paper's list of sentences is made of: the pairs, and the words found in the code."""

import ast
import io
import re
from collections.abc import Callable, Container, Iterable
from dataclasses import dataclass
from pathlib import Path

from pdf_words import words_of
from pypdf import PdfReader

import sideshake
from sideshake.documents.typeset import Sheet, pdf

SOURCE = Path(sideshake.__file__).parent


@dataclass(frozen=True)
class Case:
    """A sentence, the record that makes it, and one that must not."""

    sentence: str
    made: Callable[[], str]
    not_made: Callable[[], str]
    records: str = ""
    """What the record that makes it holds, as text."""


def by(paper: Callable[..., str], *rows: tuple[str, dict, dict]) -> tuple[Case, ...]:
    """Return cases of one paper: a sentence, what makes it, what does not."""
    return tuple(
        Case(sentence, lambda yes=yes: paper(**yes), lambda no=no: paper(**no), repr(yes))
        for sentence, yes, no in rows
    )


def all_words(sheet: Sheet) -> str:
    """Return the words of a sheet as printed, its title, and what its drawings tell the blind."""
    made = pdf(sheet)
    drawn = " ".join(
        data.decode() for name, data in sheet.pictures.items() if name.endswith(".svg")
    )
    told = re.findall(r"<(?:title|desc)>([^<]*)<", drawn)
    return " ".join((words_of(made), PdfReader(io.BytesIO(made)).metadata.title, *told))


def wordings(code: str, *, unprinted: Container[str] = ()) -> set[str]:
    """Return the words of two and more that code can print, without refusals and `unprinted`.

    `unprinted` : names of functions and classes whose words are not for this paper
    """
    return {part for words in strings(code, unprinted) for part in parts(words)}


def strings(code: str, unprinted: Container[str] = ()) -> list[str]:
    """Return the texts in code, without documentation, refusals and what is named."""
    tree = ast.parse(code)
    skipped: set[int] = set()
    for node in ast.walk(tree):
        body = getattr(node, "body", None)
        for each in body if isinstance(body, list) else ():
            if isinstance(each, ast.Expr) and isinstance(each.value, ast.Constant):
                skipped.add(id(each.value))  # documentation
        named = isinstance(node, ast.FunctionDef | ast.ClassDef) and node.name in unprinted
        if named or isinstance(node, ast.Raise):
            skipped |= {id(inner) for inner in ast.walk(node)}
    found = (node.value for node in ast.walk(tree)
             if isinstance(node, ast.Constant) and id(node) not in skipped)  # fmt: skip
    return [each for each in found if isinstance(each, str)]


def words_in(text: str) -> set[str]:
    """Return the words of three letters and more."""
    return {word.casefold() for word in re.findall(r"[^\W\d_]{3,}", text)}


def unread(printed: str, modules: Iterable[str], templates: Iterable[str], records: str) -> set:
    """Return the words printed that no module or template read here says, nor the records.

    A word that is left over comes from a module which the list of a paper's modules lacks.
    """
    said = [text for each in modules for text in strings((SOURCE / each).read_text())]
    said += [text for each in templates for text in template_wordings(template(each))]
    return words_in(printed) - words_in(" ".join((*said, records)))


def template(name: str) -> str:
    """Return the text of a paper's template."""
    return (SOURCE / "documents/templates" / name).read_text()


def parts(words: str) -> set[str]:
    """Return the parts of a text between its places for values, those of two words and more."""
    spaced = words.replace("\u00a0", " ")
    bare = (part.strip(" :,;.(·“”") for part in re.split(FIELD, spaced))
    return {part for part in bare if " " in part}


FIELD = r"\{\w+(?::[^{}]*)?\}|%\(\w+\)s"
"""The place of a value."""
SETTING = {"Libertinus Serif"}
"""What begins like a word and is never printed."""
STRING = r'"((?:[^"\\]|\\.)*)"'
GROUP = "\0"


def template_wordings(written: str) -> set[str]:
    """Return the words that a Typst template can print: of its strings, and of its markup.

    Of the strings those that begin like a word on paper or have a space: the others are keys,
    and names of styles and papers.
    """
    bare = re.sub(r"(?m)(^|\s)//.*$", "", written)
    strings = {each for each in re.findall(STRING, bare)
               if " " in each.strip() or re.match(r"[A-Z][a-z]", each)}  # fmt: skip
    code = r"#(?:if|for|let|set|show|import)\b[^\0\n]*(?:\0[^\0\n]*)*|#[\w.]+(?:\0[\w.]*)*"
    pieces = re.split(rf"{code}|[\n*\\{GROUP}]", markup(re.sub(STRING, "", bare)))
    spoken = {each for each in pieces if re.search(r"[^\W\d_]{2}", each)}
    return {each.strip(" :,;.(·/") for each in strings | spoken} - SETTING


def markup(written: str) -> str:
    """Return what of a template, its strings taken out, is text; `GROUP` for what stands within.

    Typst begins as text; `[` begins text, `{` and the bracket of a call begin code.
    """
    opened, text, before = ["["], "", ""
    for sign in written:
        call = sign == "(" and (opened[-1] != "[" or before.isalnum() or before in "_)")
        if sign in "[{" or call:
            text += GROUP if opened[-1] == "[" else ""
            opened.append(sign)
            text += "\n" if sign == "[" else ""
        elif sign in "]}" or (sign == ")" and opened[-1] == "("):
            text += "\n" if opened.pop() == "[" else ""
        elif opened[-1] == "[":
            text += sign
        before = sign
    return text


def without_case(found: set[str], cases: tuple[Case, ...], *always: str) -> set[str]:
    """Return those of the words found that no case makes, and that do not stand `always`."""
    made = "\n".join((*(case.sentence for case in cases), *always)).casefold()
    return {words for words in found if words.casefold() not in made}
