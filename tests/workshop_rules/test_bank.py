"""IBAN and BIC: checked against the examples that their standards publish."""

import pytest

from sideshake.workshop_rules.bank import first_iban, grouped, in_groups, is_bic, is_iban, pay_to

# ISO 13616-1 and the register of IBANs (SWIFT), its example of each country, electronic format and
# print format
PUBLISHED = (
    ("AT611904300234573201", "AT61 1904 3002 3457 3201"),
    ("BE68539007547034", "BE68 5390 0754 7034"),
    ("CH9300762011623852957", "CH93 0076 2011 6238 5295 7"),
    ("DE89370400440532013000", "DE89 3704 0044 0532 0130 00"),
    ("FR1420041010050500013M02606", "FR14 2004 1010 0505 0001 3M02 606"),
    ("NO9386011117947", "NO93 8601 1117 947"),
    ("MT84MALT011000012345MTLCAST001S", "MT84 MALT 0110 0001 2345 MTLC AST0 01S"),
)


@pytest.mark.parametrize(("electronic", "printed"), PUBLISHED)
def test_a_published_iban_is_right_and_printed_in_groups_of_four(electronic, printed):
    assert is_iban(electronic)
    assert in_groups(electronic) == printed
    assert first_iban(f"Bank of Nowhere\nIBAN: {printed} BIC NOWHGB2L") == electronic


# MOD 97-10 finds each single wrong figure and each pair that changed places (ISO 7064)
@pytest.mark.parametrize(("electronic", "printed"), PUBLISHED)
def test_each_wrong_figure_is_found(electronic, printed):
    for at in range(2, len(electronic)):
        if electronic[at].isdecimal():
            other = str((int(electronic[at]) + 1) % 10)
            assert not is_iban(electronic[:at] + other + electronic[at + 1 :])
        if electronic[at : at + 2] != electronic[at : at + 2][::-1]:
            turned = electronic[at : at + 2][::-1]
            assert not is_iban(electronic[:at] + turned + electronic[at + 2 :])


@pytest.mark.parametrize("text", ["", "GB82", "GB82 WEST 1234", "١٢٣٤", "GB82WESTé2345698765432"])
def test_what_has_not_the_shape_is_no_iban(text):
    assert not is_iban(text)


@pytest.mark.parametrize(("bic", "right"), [
    ("DEUTDEFF", True), ("NEDSZAJJXXX", True),  # both given as examples of ISO 9362
    ("DEUTDEF", False), ("DEUTDEFFX", False), ("DEUT12FF", False), ("", False),
])  # fmt: skip
def test_a_bic_is_known_by_its_shape(bic, right):
    assert is_bic(bic) == right


@pytest.mark.parametrize("text", [
    "Porth Averil Bank, account 0000 2291", "IBAN GB83 WEST 1234 5698 7654 32", "",
    "Bank of Nowhere\nsort code 00-00-00\naccount 12345678901234567890",
])  # fmt: skip
def test_what_is_no_iban_stays_as_it_is(text):
    assert grouped(text) == text
    assert pay_to(text) == text


def test_an_iban_in_free_words_is_grouped_and_nothing_else_changes():
    said = "Bank of West (GB82WEST12345698765432), in the name of Quill"
    assert pay_to(said) == "Bank of West (GB82 WEST 1234 5698 7654 32), in the name of Quill"


@pytest.mark.parametrize(("bank", "bic", "said"), [
    ("", "", ["IBAN GB82 WEST 1234 5698 7654 32"]),
    ("", "WESTGB2L", ["IBAN GB82 WEST 1234 5698 7654 32", "BIC WESTGB2L"]),
    ("Bank of West", "", ["Bank of West", "IBAN GB82 WEST 1234 5698 7654 32"]),
    ("IBAN: gb82 west 1234 5698 7654 32", "", ["IBAN: GB82 WEST 1234 5698 7654 32"]),
    ("Bank of West, BIC WESTGB2L", "WESTGB2L",
     ["Bank of West, BIC WESTGB2L", "IBAN GB82 WEST 1234 5698 7654 32"]),
])  # fmt: skip
def test_account_iban_and_bic_stand_once_each(bank, bic, said):
    assert pay_to(bank, iban="GB82WEST12345698765432", bic=bic).splitlines() == said
