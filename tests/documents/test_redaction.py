"""What tells who owns a watch is found however it is written, and told in the text's own words."""

import re
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sideshake.documents.redaction import Secret, hidden, secrets_in

NAMES = (*Secret.name("the owner's name", "Ottilie Müller-Marwood"),)
NUMBERS = (*Secret.number("the case number", "88 123"), *Secret.number("the visit", "2026-014"))
PHONE = (*Secret.phone("the telephone", "+44 1632 960123"),)
PLACE = (*Secret.place("the address", "3 Fernhollow Lane\nAB1 2CD Oberaldermoor"),)


def words(text, secrets):
    return [each.words for each in secrets_in(text, secrets)]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("It belonged to Ottilie.", ["Ottilie"]),
        ("OTTILIE MÜLLER wore it", ["OTTILIE", "MÜLLER"]),
        ("Frau Muller brought it", ["Muller"]),
        ("Marwood's own repair", ["Marwood"]),
        ("Marwoods Uhr", ["Marwoods"]),
        ("Marwood1912", ["Marwood"]),
        ("ottilie müller-marwood", ["ottilie müller-marwood"]),
        ("Otti\u00adlie with a soft hyphen", ["Otti\u00adlie"]),
        ("Mu\u0308ller with a combining mark", ["Mu\u0308ller"]),
        ("a bottle and a miller", []),
    ],
)
def test_a_name_is_found_in_any_dress_and_nothing_else(text, found):
    assert words(text, NAMES) == found


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("No. 88123 inside", ["88123"]),
        ("no 88.123 or 8 8-1 2 3", ["88.123", "8 8-1 2 3"]),
        ("No88123x", ["88123"]),
        ("number 188123 or 881234", ["188123", "881234"]),
        ("see 2026/014", ["2026/014"]),
        ("8 of 12 and 3", []),
    ],
)
def test_a_number_is_found_whatever_stands_between_its_figures(text, found):
    assert words(text, NUMBERS) == found


@pytest.mark.parametrize("text", ["01632 960123", "(0)1632/960-123", "+441632960123"])
def test_a_telephone_number_is_found_in_every_way_of_writing_it(text):
    assert any("960" in each for each in words(f"call {text}.", PHONE))


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("bought in Oberaldermoor in 1912", ["Oberaldermoor"]),
        ("AB1 2CD", ["AB1 2CD"]),
        ("the house in Fernhollow Lane", ["Fernhollow Lane"]),
        ("down the lane", []),
    ],
)
def test_a_place_of_the_address_is_found(text, found):
    assert words(text, PLACE) == found


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("mail otto@example.org", "an email address"),
        ("it cost €1,200.50 then", "a price"),
        ("it cost 240 CHF", "a price"),
        ("engraved 1234567", "a long number"),
        ("call 01632 960999", "a long number"),
        ("call +44 (0)20 7946", "a long number"),
    ],
)
def test_what_no_record_names_is_found_too(text, what):
    assert [each.what for each in secrets_in(text, ())] == [what]


def test_the_figures_of_the_trade_are_no_secrets():
    text = "28800 beats an hour, 1.012 by 0.936 mm, −50.0 ± 0.4 s a day, made 1912 - 1915"
    assert secrets_in(text, (*NAMES, *NUMBERS, *PHONE, *PLACE)) == ()


@pytest.mark.parametrize("text", ["这是李明的表", "李明"])
def test_a_name_in_a_script_without_spaces_is_found_inside_a_sentence(text):
    assert words(text, (*Secret.name("name", "李明"),)) == ["李明"]


@pytest.mark.parametrize("name", ["", "x", "Li", "***", ".*"])
def test_a_name_too_short_to_tell_finds_nothing(name):
    assert words("x Li *** .* any text", (*Secret.name("name", name),)) == []


def test_two_short_words_are_found_together():
    assert words("the watch of Li Wu", (*Secret.name("name", "Li Wu"),)) == ["Li Wu"]


def test_what_is_found_can_be_hidden_and_is_then_found_no_more():
    text = "Ottilie and MÜLLER, no 88.123"
    secrets = (*NAMES, *NUMBERS)
    assert hidden(text, secrets_in(text, secrets)) == "… and …, no …"
    assert secrets_in(hidden(text, secrets_in(text, secrets)), secrets) == ()


def test_finds_that_overlap_are_hidden_together():
    secrets = (*Secret.number("a", "12345"), *Secret.number("b", "45678"))
    text = "no 123 45 678 here"
    assert hidden(text, secrets_in(text, secrets)) == "no … here"


ANY = st.text(st.characters(codec="utf-8"), max_size=40)
DRESSES = (str.upper, str.lower, str.title, str, "-".join, " ".join)


@given(before=ANY, after=ANY, dress=st.sampled_from(DRESSES[:4]))
def test_a_name_set_apart_by_a_space_is_found_in_any_text(before, after, dress):
    text = f"{before} {dress('Marwood')} {after}"
    assert any("marwood" in each.words.lower() for each in secrets_in(text, NAMES))


@given(before=ANY, after=ANY, dress=st.sampled_from(DRESSES[4:]))
def test_a_number_is_found_in_any_text(before, after, dress):
    text = f"{before} | {dress('88123')} | {after}"
    found = secrets_in(text, NUMBERS)
    assert any("88123" in re.sub(r"\D", "", each.words) for each in found)


@given(
    text=st.lists(
        st.sampled_from(
            ["Ottilie", "MARWOOD", "88", "123", "88.123", "-", " ", "x", "…", "ü", "7"]
        ),
        max_size=25,
    ).map("".join)
)
def test_once_hidden_no_name_and_no_number_of_the_records_is_left(text):
    secrets = (*NAMES, *NUMBERS)
    left = hidden(text, secrets_in(text, secrets))
    assert [each for each in secrets_in(left, secrets) if each.what.startswith("the ")] == []


@given(text=ANY)
def test_any_text_can_be_looked_through_and_hidden(text):
    assert isinstance(hidden(text, secrets_in(text, (*NAMES, *NUMBERS, *PHONE, *PLACE))), str)


@pytest.mark.parametrize("part", ["9", "a", "8 ", "a@", "+1", "0 ", "Ottilie ", "(", "€1,"])
def test_a_long_text_is_looked_through_at_once(part):
    text = (part * 20_000)[:20_000]
    start = time.process_time()
    secrets_in(text, (*NAMES, *NUMBERS, *PHONE, *PLACE))
    assert time.process_time() - start < 1.0


@pytest.mark.parametrize("text", ["1.012 345 6", "0.012 3 4 5 6", "−0,0123 4567"])
def test_what_follows_a_decimal_sign_is_no_number_of_its_own(text):
    assert not [each for each in secrets_in(text, ()) if each.what == "a long number"]


@pytest.mark.parametrize("text", ["call 01632 960123", "(01632) 960123", "no. 012 345 67"])
def test_a_number_that_begins_with_nothing_is_still_found(text):
    assert secrets_in(text, ())


def test_the_small_words_of_a_place_are_found_only_with_the_rest():
    place = tuple(Secret.place("the address", "Saint Osric-under-Wold"))
    assert not secrets_in("White metal shows under three lugs", place)
    assert secrets_in("It came from Saint Osric-under-Wold", place)
    assert secrets_in("It came from Osric", place)
