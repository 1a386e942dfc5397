"""Where faults, assumptions and notices gather while a ledger is read."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from ledger.errors import Complaint, LedgerError, Notice, Place
from ledger.intake.money_values import Coin
from ledger.intake.schema import below, kind_words
from ledger.intake.slips import as_typed, offer, shortened
from ledger.intake.toml_places import Path, Places
from ledger.model.values import Assumption
from ledger.sources import Row

_M = TypeVar("_M", bound=BaseModel)
LAST_LINE = 10**9


def entry_of(path: Path) -> str:
    """An entry as a grower counts: `build[2].item[1].amount` is the first item of the second build."""
    words = ""
    for part in path:
        words += f"[{part + 1}]" if isinstance(part, int) else f".{part}" if words else str(part)
    return shortened(words, 200)


class Desk:
    """Gathers everything there is to say about one ledger file."""

    def __init__(self, file: str, places: Places, coin: Coin) -> None:
        """Open an empty desk for the file of that bare name."""
        self.file = file
        self.places = places
        self.coin = coin
        self.document: dict[str, Any] = {}
        self.complaints: list[Complaint] = []
        self.assumed: list[Assumption] = []
        self.notices: list[Notice] = []

    def line(self, *path: str | int) -> int | None:
        """The line of an entry."""
        return self.places.line(path)

    def is_bare_date(self, path: Path) -> bool:
        """Whether an entry was typed as a date without a clock time."""
        raw: Any = self.document
        for part in path:
            raw = raw[part]
        return isinstance(raw, date) and not isinstance(raw, datetime)

    def fault(self, path: Path, what: str, mend: str) -> None:
        """Note a fault of an entry."""
        place = Place(self.file, self.places.line(path), entry_of(path))
        self.complaints.append(Complaint(shortened(what), place, shortened(mend, 800)))

    def assume(self, path: Path, value: str, source: str) -> None:
        """Note a default that enters the answer."""
        self.assumed.append(Assumption(entry_of(path), value, source))

    def assume_row(self, path: Path, row: Row) -> None:
        """Note a row of the built-in tables that enters the answer."""
        self.assume(path, row.words(), row.source)

    def notice(self, code: str, path: Path, text: str) -> None:
        """Note a warning that changes no figure."""
        self.notices.append(Notice(code, text, entry_of(path), self.places.line(path)))

    def read(self, model: type[_M], raw: object, path: Path) -> _M | None:
        """Hold a section to its keys; None when it has a fault, which is then noted."""
        try:
            return model.model_validate(raw, context={"coin": self.coin})
        except ValidationError as error:
            for one in error.errors(include_url=False):
                self._translate(model, dict(one), path)
            return None

    def raise_if_faulty(self) -> None:
        """Raise all complaints at once, in the order of their lines.

        Raises
        ------
        LedgerError : there is any complaint.
        """
        if self.complaints:
            in_order = sorted(dict.fromkeys(self.complaints), key=lambda c: (c.place.line or LAST_LINE, c.place.entry))
            raise LedgerError(in_order)

    def _translate(self, model: type[BaseModel], error: dict[str, Any], path: Path) -> None:
        """Turn one of the schema's errors into a complaint."""
        context = error.get("ctx") or {}
        where: Path = (*path, *error["loc"])
        if error["type"] == "slip":
            self.fault((*where, *context.get("at", ())), context["what"], context["mend"])
        elif error["type"] == "extra_forbidden":
            known = _keys_at(model, error["loc"][:-1])
            self.fault(where, f'unknown key "{where[-1]}"', offer(str(where[-1]), known))
        elif error["type"] == "missing":
            kind, words = _words_of(model, error["loc"])
            self.fault(where, f'the key "{where[-1]}" is missing', f"add {where[-1]} = ... ({kind}): {words}")
        elif error["type"] == "list_type":
            self.fault(
                where,
                f"{as_typed(error['input'])} stands where sections are due",
                f"begin each with [[{_bare(where)}]]",
            )
        elif error["type"] in ("model_type", "model_attributes_type", "dict_type"):
            self.fault(
                where, f"{as_typed(error['input'])} stands where a table is due", "write it as { key = value, ... }"
            )
        else:
            self.fault(where, str(error["msg"]), "see the README's table of keys")


def _bare(path: Path) -> str:
    return ".".join(str(part) for part in path if isinstance(part, str))


def _model_at(model: type[BaseModel], loc: Path) -> type[BaseModel]:
    """The section that a path inside a section leads to."""
    for part in loc:
        if isinstance(part, str):
            model = below(model, part) or model
    return model


def _keys_at(model: type[BaseModel], loc: Path) -> list[str]:
    fields = _model_at(model, loc).model_fields
    return [field.alias or name for name, field in fields.items()]


def _words_of(model: type[BaseModel], loc: Path) -> tuple[str, str]:
    for name, field in _model_at(model, loc[:-1]).model_fields.items():
        if loc[-1] in (name, field.alias):
            return kind_words(field), field.description or ""
    return "value", ""
