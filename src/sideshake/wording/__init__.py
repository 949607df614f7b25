"""What an owner reads, in his language: the languages, the catalogues, and which one is spoken.

Sentences stand in English where they are made, marked for the catalogue; the paper that is made
says in which language. Adding a language is one more catalogue and one more `Language`.
"""

from sideshake.wording.language import (
    Language,
    figures,
    gettext,
    inside,
    ngettext,
    noop,
    pgettext,
    speaking,
    spoken,
)

__all__ = [
    "Language",
    "figures",
    "gettext",
    "inside",
    "ngettext",
    "noop",
    "pgettext",
    "speaking",
    "spoken",
]
