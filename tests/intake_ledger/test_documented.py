"""The list of keys that the README is made of."""

from __future__ import annotations

import pytest

from ledger.errors import LedgerError
from ledger.intake.ledger_file import ledger_of
from ledger.intake.schema import SECTIONS, documented_keys
from tests.intake_ledger.test_least_ledger import LEAST


def test_every_key_says_its_kind_and_what_it_is() -> None:
    for one in documented_keys():
        assert one.kind, one
        assert one.description, one


def test_no_key_is_listed_twice() -> None:
    places = [(one.section, one.key) for one in documented_keys()]
    assert len(places) == len(set(places))


def test_every_section_is_listed() -> None:
    listed = {one.section.strip("[]").split("]")[0] for one in documented_keys()}
    assert set(SECTIONS) <= listed


@pytest.mark.parametrize("name", SECTIONS)
def test_an_unknown_key_is_refused_in_every_section(name: str) -> None:
    """So that no key can be real and undocumented: each section takes its listed keys and no others."""
    header = f"[[{name}]]" if any(one.section == f"[[{name}]]" for one in documented_keys()) else f"[{name}]"
    if f"{header}\n" in LEAST:
        text = LEAST.replace(f"{header}\n", f"{header}\nno_such_key = 1\n", 1)
    else:
        text = f"{LEAST}{header}\nno_such_key = 1\n"
    with pytest.raises(LedgerError) as caught:
        ledger_of(text, "f")
    assert any("no_such_key" in complaint.what for complaint in caught.value.complaints)
