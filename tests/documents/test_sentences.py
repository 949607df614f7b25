"""The words that the lists of sentences find in code and templates."""

from tests.documents.sentences import template_wordings, wordings

TEMPLATE = """
// not this comment
#import "style.typ": *
#let said = json("data.json")
#set text(font: "Libertinus Serif", fill: ink, lang: "en")
Plain words #said.name follow (truly)
#let row(it) = block(wide: (1fr,) * 2)[\\ #strong("Bold words") *Mind:* #it.caution]
#if said.way == "none" [As for that: #text(size: 2pt, it.how)]
#grid(columns: (auto, 1fr), heads("No.", "of two"), [#counter(page).display() of them])
"""
CODE = '''
"""Not this."""

def said(part):
    """Nor this."""
    if not part:
        raise InputError("no refusal of it")
    return f"two words {part.size:.3f} mm long", "single", _("kept by %(who)s of us")

def told():
    return "not on paper"
'''


def test_strings_and_markup_of_a_template_are_found_and_its_code_is_not():
    assert template_wordings(TEMPLATE) == {
        "Plain words", "follow (truly)", "Bold words", "Mind", "As for that", "No", "of two",
        "of them",
    }  # fmt: skip


def test_the_words_of_code_are_found_without_documents_refusals_and_what_is_named():
    found = {"two words", "mm long", "kept by", "of us"}
    assert wordings(CODE, unprinted=("told",)) == found
    assert wordings(CODE) == {*found, "not on paper"}
