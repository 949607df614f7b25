"""Every word on a page can be translated: it stands inside a translate tag, or comes from code."""

import re
from pathlib import Path

import pytest
from django.apps import apps
from django.utils.functional import Promise

from sideshake.web.base import models as base

TEMPLATES = sorted(Path(base.__file__).parents[1].glob("*/templates/**/*.html"))
NOT_SHOWN = re.compile(
    r"\{% blocktranslate .*?endblocktranslate %\}|\{#.*?#\}|\{% block wide %\}\w+\{% endblock %\}",
    re.DOTALL,
)
"""What a translation reaches, remarks, and the class that makes a page wide."""
CODE = re.compile(r"\{%.*?%\}|\{\{.*?\}\}", re.DOTALL)
KEYS = re.compile(r"<kbd>.*?</kbd>", re.DOTALL)
SAID = re.compile(r"""\s(?:alt|title|aria-label|placeholder)=(?:"([^"]*)"|'([^']*)')""")
TAG = re.compile(r"<[^>]*>")
WORD = re.compile(r"[^\W\d_]{2,}")
ALSO_ELSEWHERE = {"mm", "ms", "Hz", "Sideshake", "CSV", "SVG", "DXF", "PDF"}
"""Units, names and formats, the same in every language."""


def untranslated(template: str) -> list[str]:
    """Return the words of a template that no translation would reach."""
    left = KEYS.sub(" ", CODE.sub(" ", NOT_SHOWN.sub(" ", template)))
    said = [found for pair in SAID.findall(left) for found in pair]
    words = WORD.findall(" ".join([TAG.sub(" ", left), *said]))
    return [word for word in words if word not in ALSO_ELSEWHERE]


@pytest.mark.parametrize("path", TEMPLATES, ids=lambda path: path.name)
def test_every_word_of_a_template_can_be_translated(path):
    assert untranslated(path.read_text(encoding="utf-8")) == []


def test_every_choice_of_a_record_can_be_translated():
    fixed = {
        f"{model.__name__}.{field.name}: {label}"
        for model in apps.get_app_config("bench").get_models()
        for field in model._meta.concrete_fields
        for _value, label in field.flatchoices
        if not isinstance(label, Promise)
    }
    assert fixed == set()


@pytest.mark.parametrize(
    ("template", "words"),
    [
        ("<p>Good morning</p>", ["Good", "morning"]),
        ("<img alt='the dial'>", ["the", "dial"]),
        ('<p>{% translate "Good" %} morning</p>', ["morning"]),
        ('<p title="{% translate "Good" %}">{{ name }} <kbd>Esc</kbd></p>', []),
        ("{% blocktranslate with n=1 %}Good {{ n }}{% endblocktranslate %}", []),
    ],
)
def test_a_word_outside_is_noticed(template, words):
    assert untranslated(template) == words
