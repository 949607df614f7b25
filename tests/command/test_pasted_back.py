"""One meaning of ±: what a command prints can be pasted back and means the same."""

import json
import re

import pytest

from sideshake.command.main import app
from sideshake.core.quantities import Measured

SHOWN = re.compile(r"[−+]?\d+(?:\.\d+)? ± \d+(?:\.\d+)?")
COMMANDS = {
    "spring": ["spring", "tarnbrook-31", "--amplitude-deg", "215 ± 8°", "--thickness-mm", "0.120"],
    "spring counted": ["spring", "lindquell-25", "--turns", "6.5 ± 0.2"],
    "winding": ["winding", "lindquell-25", "--rotor-play-mm", "0.022 ± 0.006 mm"],
    "quickset": ["quickset", "lindquell-25"],
    "train": ["train", "tarnbrook-31", "--heard-s", "6.00 ± 0.04 s"],
    "check": ["calibre", "check", "wendelmoor-43"],
    "barrel": ["barrel", "--measured", "leaning-barrel"],
}


@pytest.fixture
def written(capsys, monkeypatch):
    """Return what a command writes, on a wide screen."""

    def run(*tokens):
        monkeypatch.setenv("COLUMNS", "240")
        app(list(tokens), result_action="return_value")
        return capsys.readouterr().out

    return run


@pytest.mark.parametrize("name", COMMANDS)
def test_every_printed_figure_reads_back_as_itself(name, written):
    found = SHOWN.findall(written(*COMMANDS[name]))
    assert found
    for printed in found:
        signed = printed.startswith("+")
        assert Measured.parse(printed).text(sign=signed) == printed


def measured_in(tree):
    """Yield every measured value in a JSON answer."""
    if isinstance(tree, dict) and {"value", "u"} <= tree.keys():
        yield Measured(tree["value"], tree["u"])
    elif isinstance(tree, dict | list):
        for each in tree.values() if isinstance(tree, dict) else tree:
            yield from measured_in(each)


def test_the_u_of_json_is_the_standard_one_of_what_is_printed(written):
    tokens = COMMANDS["winding"]
    told, shown = list(measured_in(json.loads(written(*tokens, "--json")))), written(*tokens)
    assert told
    missing = [each.text() for each in told if each.text() not in shown]
    assert len(missing) <= 1  # the barrel's turns stand in the JSON alone


@pytest.mark.parametrize(
    ("option", "printed", "key"),
    [
        ("--hole-above-mm", "1.012 ± 0.008 mm", "above"),
        ("--pivot-above-mm", "0.896 ± 0.004 mm", "above"),
        ("--gap-bridge-mm", "0.200 ± 0.020 mm", "barrel"),
    ],
)
def test_an_option_means_what_the_file_means(option, printed, key, written, tmp_path):
    name = {"--hole-above-mm": "hole_mm", "--pivot-above-mm": "pivot_mm"}.get(
        option, "gap_bridge_mm"
    )
    file = tmp_path / "measured.toml"
    file.write_text(f'calibre = "tarnbrook-31"\n[{key}]\n{name} = "{printed}"\n', encoding="utf-8")
    by_file = json.loads(written("barrel", "--measured", str(file), "--json"))
    by_option = json.loads(written("barrel", "tarnbrook-31", option, printed, "--json"))
    assert by_file == by_option


def test_a_word_changes_the_meaning_and_the_answer(written):
    def hours(turns):
        figures = json.loads(written("spring", "tarnbrook-31", "--turns", turns, "--json"))
        return figures["running_h"]["u"]

    half, standard, limit = (hours(f"6.5 ± 0.2{word}") for word in ("", " standard", " limit"))
    assert standard == pytest.approx(2 * half)
    assert limit == pytest.approx(2 * half / 3**0.5)
