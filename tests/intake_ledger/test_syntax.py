"""A fault of syntax is reported alone: its line as typed, a caret, the mend."""

from __future__ import annotations

import pytest

from ledger.errors import Complaint, LedgerError
from ledger.intake.ledger_file import ledger_of
from tests.intake_ledger.test_least_ledger import LEAST


def fault(addition: str) -> Complaint:
    """The only complaint about the least ledger with lines added at its end, inside [[log]]."""
    with pytest.raises(LedgerError) as caught:
        ledger_of(LEAST + addition + "\n", "farm.toml")
    assert len(caught.value.complaints) == 1
    return caught.value.complaints[0]


FIRST = len(LEAST.splitlines()) + 1

# typed, line after the least ledger's end, column of the caret, words of the fault, words of the mend
KINDS = [
    ("decimal comma", "price = 3,5", 0, 9, "decimal comma", "price = 3.5"),
    ("thousands comma", "amount = 1,250.00", 0, 10, "thousands comma", "amount = 1250.00"),
    ("comma that may be either", "amount = 1,250", 0, 10, "thousands comma", "amount = 1250 (or 1.250"),
    ("points and comma", "amount = 1.250,00", 0, 14, "decimal comma", "amount = 1250.00"),
    ("bare dollar", "amount = $1,250.00", 0, 9, "currency sign $", "amount = 1250.00"),
    ("bare euro behind", "amount = 12 €", 0, 9, "currency sign €", 'amount = "12 €"'),
    ("unquoted unit", "length = 12 m", 0, 12, 'unit "m"', 'length = "12 m"'),
    ("unquoted compound unit", "u = 2.8 W/m2/K # sheet", 0, 8, "W/m2/K", 'u = "2.8 W/m2/K"'),
    ("unquoted per cent", "rate = 6 %", 0, 8, "without quotes", 'rate = "6 %"'),
    ("unquoted day of year", "begins = 10-01", 0, 9, "without quotes", 'begins = "10-01"'),
    ("slashed date", "date = 06/25/2025", 0, 7, "writes a date", "date = 2025-06-25"),
    ("slashed date of two readings", "date = 06/11/2025", 0, 7, "writes a date", "2025-06-11 (or 2025-11-06"),
    ("dotted date", "date = 11.06.2025", 0, 7, "writes a date", "date = 2025-06-11"),
    ("named date", "date = June 3, 2025", 0, 7, "writes a date", "date = 2025-06-03"),
    ("one-digit month", "date = 2025-6-11", 0, 12, "two digits", "date = 2025-06-11"),
    ("one-digit day", "date = 2025-06-1", 0, 15, "two digits", "date = 2025-06-01"),
    ("no such day", "date = 2025-02-30", 0, 7, "no day 2025-02-30", "check month and day"),
    ("leading zero", "units = 007", 0, 8, "leading zero", "units = 7"),
    ("no digit before the point", "share = .5", 0, 8, "before the point", "share = 0.5"),
    ("no digit behind the point", "share = 5.", 0, 8, "behind the point", "share = 5.0"),
    ("yes", "backup = yes", 0, 9, "yes or no", "backup = true"),
    ("no", "backup = no", 0, 9, "yes or no", "backup = false"),
    ("True", "backup = True", 0, 9, "yes or no", "backup = true"),
    ("none", "backup = none", 0, 9, "no value", "take the line out"),
    ("no value", "backup =", 0, 8, "no value", "take the line out"),
    ("unquoted words", "name = wood stove", 0, 7, "without quotes", 'name = "wood stove"'),
    ("curly quotes", "name = “stove”", 0, 7, "curly quotes", 'name = "stove"'),
    ("backslash path", 'time = "logs\\station.csv"', 0, 12, "backslash", 'time = "logs/station.csv"'),
    ("backslash path of users", 'time = "C:\\Users\\x.csv"', 0, 10, "backslash", "C:/Users/x.csv"),
    ("unclosed string", 'name = "stove', 0, 7, "not closed", "both signs"),
    ("unclosed literal", "name = 'stove", 0, 7, "not closed", "both signs"),
    ("unclosed long string", 'name = """stove\nmore = 2', 0, 7, "not closed", 'add """'),
    ("unclosed bracket", "cop = [[-15, 1.8], [0, 2.7]\nprice = 3", 0, 6, "list in [ ] is not closed", "add ]"),
    (
        "inline table over two lines",
        "water = { column = 1,\n unit = 2 }",
        0,
        8,
        "not closed on its own line",
        "one line",
    ),
    ("unclosed inline table", "water = { column = 1", 0, 8, "not closed on its own line", "one line"),
    ("decimal comma in a table", "a = { low = 0,5, likely = 1, high = 2 }", 0, 13, "decimal comma", "low = 0.5"),
    ("header twice", "[site]", 0, 0, "typed twice (first in line 1)", "under the first one"),
    ("mixed headers", "[build]", 0, 0, "typed twice (first in line 15)", "[[build]]"),
    ("key twice", 'file = "x.csv"', 0, 0, "typed twice (first in line 26)", "keep one"),
    ("header without end", "[crop", 0, 5, "do not match", "write [crop]"),
    ("header of three brackets", "[[source]", 0, 8, "do not match", "write [[source]]"),
    ("colon", "price: 5", 0, 5, "colon", "price = 5"),
    ("no equals", "price 5", 0, 0, "no =", "price = 5"),
    ("no key", "= 5", 0, 0, "no key", "write: key"),
    ("key of two words", "side height = 5", 0, 0, "is no key", "side_height = "),
    ("two keys in a line", 'a = "x" b = "y"', 0, None, "", ""),
    ("two commas", "a = [1,, 2]", 0, 7, "comma", "take it out"),
    ("words behind text", 'length = "12" m', 0, 14, "behind the text", 'length = "12 m"'),
    ("thousands blank", "amount = 1 250", 0, 9, "thousands", "amount = 1250"),
    ("unseen sign", 'name = "ab\x07c"', 0, 10, "cannot be seen", "type it again"),
    ("stray bracket", "]", 0, 0, "closes nothing", "take it out"),
]


@pytest.mark.parametrize(
    ("typed", "below", "column", "what", "mend"), [k[1:] for k in KINDS], ids=[k[0] for k in KINDS]
)
def test_each_kind_of_slip_is_named_with_line_caret_and_mend(
    typed: str, below: int, column: int | None, what: str, mend: str
) -> None:
    found = fault(typed)
    assert found.place.file == "farm.toml"
    assert found.place.line == FIRST + below
    assert what in found.what
    assert mend in found.mend
    line, caret = found.excerpt.split("\n")
    assert line == typed.split("\n")[below]
    assert caret.strip() == "^"
    if column is not None:
        assert caret.index("^") == column


def test_the_entry_of_a_slip_counts_rows_as_people_do() -> None:
    text = LEAST.replace("amount = 3850.00", "amount = 3.850,00")
    with pytest.raises(LedgerError) as caught:
        ledger_of(text, "farm.toml")
    assert caught.value.complaints[0].place.entry == "build[1].item[1].amount"


def test_a_slip_of_syntax_hides_all_other_faults_until_it_is_mended() -> None:
    text = LEAST.replace("latitude = 46", "latitude = 146").replace("price = 0.30", "price = 0,30")
    with pytest.raises(LedgerError) as caught:
        ledger_of(text, "farm.toml")
    assert [c.place.entry for c in caught.value.complaints] == ["source[1].price"]


def test_brackets_nested_a_hundred_thousand_deep_are_answered_with_words() -> None:
    assert "nested too deeply" in fault("a = " + "[" * 100_000 + "]" * 100_000).what


def test_a_whole_number_of_ten_thousand_digits_is_answered_with_words() -> None:
    assert "digits" in fault("a = " + "9" * 10_000).what


def test_a_very_long_line_is_shown_around_its_fault_only() -> None:
    found = fault('a = "' + "x" * 5000 + '" m')
    assert len(found.excerpt) < 400
    line, caret = found.excerpt.split("\n")
    assert line[caret.index("^")] == "m"


def test_tabs_before_the_fault_keep_the_caret_below_it() -> None:
    assert fault("\tprice = yes").excerpt == "\tprice = yes\n\t        ^"


@pytest.mark.parametrize(
    "typed",
    [
        "x" * 100_000,
        " " * 100_000 + "x",
        "a = " + " " * 100_000 + "x y",
        "a = " + "1 " * 50_000,
        "a = $" + "1 " * 50_000,
        '"' * 100_001,
        "'\"" * 50_000,
        "{" * 100_000,
        "[" + " " * 100_000,
        'a = "' + "\\" * 100_001 + '"',
        'a = """' + '"" ' * 50_000,
        "a" + ".a" * 50_000 + " = 1",
        "[" + "a." * 50_000 + "a]",
        "a = 2025-01-01" + "T" * 100_000,
    ],
    ids=range(14),
)
def test_a_line_of_a_hundred_thousand_signs_is_answered_in_words_a_screen_can_hold(typed: str) -> None:
    """Each of these would take minutes if a search went back and forth over the line."""
    found = fault(typed)
    assert len(found.what) + len(found.mend) + len(found.place.entry) + len(found.excerpt) < 2000
