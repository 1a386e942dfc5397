"""Capital and what wears out, live: each item's part for the heat, when it is bought anew, what is left of it."""

from __future__ import annotations

from dataclasses import dataclass

from openpyxl.styles import Alignment
from openpyxl.utils import get_column_letter as letter

from ledger.model.heaters import Source
from ledger.money.project import anniversary, year_of
from ledger.views.figures import Measure
from ledger.views.live import Live, column_of, label, row_of
from ledger.views.live_inputs import InputNames
from ledger.views.sheet import Paper, Sheet, freeze_heads, letters, print_in_parts, put_text, set_widths

HEADS = ("No.", "Build", "Date", "What", "Amount", "Share for heat", "Own work, priced", "Counts (with own work)",
         "of it paid", "Left at its end, share", "In year", "Status", "Known by", "Paper",
         "Why this share")  # fmt: skip
NUMBER, AMOUNT, SHARE, WORK, COUNTED, PAID, LEFT, YEAR = 1, 5, 6, 7, 8, 9, 10, 11
FIRST = 2
ROUNDING = "0.000000001"
_COLUMNS_ON_A_PAGE = 10


@dataclass(frozen=True, slots=True)
class CapitalPlaces:
    """Where the capital sheet holds what others need. Columns of items; sums; each grant's counted part."""

    first: int
    last: int
    sheet: Sheet
    gross: str
    counted: str
    paid: str
    grants: str
    net: str
    grants_of: dict[int, str]
    counted_of: dict[int, str]

    def column(self, column: int) -> str:
        """A column of the items."""
        return column_of(self.sheet, column, self.first, self.last)


def capital_sheet(live: Live, names: InputNames) -> CapitalPlaces:
    """Items, grants and the sums by build."""
    a = live.appraisal
    sheet = live.sheet("capital", Paper.ACROSS)
    sheet.head(HEADS, right=(1, 5, 6, 7, 8, 9, 10, 11))
    freeze_heads(sheet, row=FIRST, column=5)
    numbers = {build.name: place for place, build in enumerate(a.source.builds, start=1)}
    for item, own in zip(a.capital.items, names.items, strict=True):
        row = sheet.at
        sheet.figure(NUMBER, float(numbers[item.build]), Measure.YEAR_NUMBER)
        for column, text in ((2, item.build), (3, item.date), (4, item.what), (12, item.status), (13, item.basis),
                             (14, item.paper), (15, item.why_share)):  # fmt: skip
            put_text(sheet.page.cell(row, column), text).alignment = Alignment(wrap_text=True, vertical="top", indent=1)
        sheet.formula(AMOUNT, f"={own.amount}", Measure.COIN)
        sheet.formula(SHARE, f"={own.share}", Measure.SHARE)
        sheet.formula(WORK, f"={own.share}*{own.hours}*labour_rate", Measure.COIN)
        sheet.formula(COUNTED, f"=E{row}*F{row}+G{row}", Measure.COIN)
        sheet.formula(PAID, f"=E{row}*F{row}", Measure.COIN)
        sheet.formula(LEFT, f"={own.residual}*F{row}", Measure.COIN)
        sheet.figure(YEAR, float(item.year), Measure.YEAR_NUMBER)
        sheet.at += 1
    if not a.capital.items:
        sheet.at += 1
    return _sums(live, sheet, names, last=sheet.at - 1)


def _sums(live: Live, sheet: Sheet, names: InputNames, *, last: int) -> CapitalPlaces:
    label(sheet, "Sum", column=4, bold=True)
    for column in (AMOUNT, WORK, COUNTED, PAID):
        sheet.formula(column, f"=SUM({letter(column)}{FIRST}:{letter(column)}{last})", Measure.COIN).font = letters(
            bold=True
        )
    gross, counted = live.name("gross", sheet, AMOUNT), live.name("share_for_heat", sheet, COUNTED)
    paid = live.name("paid_for_heat", sheet, PAID)
    sheet.at += 2
    grants_of = _grants(live, sheet, names, last)
    label(sheet, "Net capital", column=4, bold=True)
    sheet.formula(COUNTED, f"={counted}-grants", Measure.COIN).font = letters(bold=True)
    net = live.name("net_capital", sheet, COUNTED)
    sheet.at += 2
    counted_of = _by_build(live, sheet, grants_of, last)
    set_widths(sheet, widest=26, wide={1: 5, 2: 20, 4: 30, 6: 9, 7: 10, 9: 12, 11: 7, 14: 14, 15: 24})
    return CapitalPlaces(FIRST, last, sheet, gross, counted, paid, "grants", net, counted_of[1], counted_of[0])


def _grants(live: Live, sheet: Sheet, names: InputNames, last: int) -> list[tuple[str | None, str]]:
    """Each grant's part that counts: its amount times the mean share of what it pays for."""
    found: list[tuple[str | None, str]] = []
    builds = [build.name for build in live.appraisal.source.builds]
    first = sheet.at
    for number, (grant, name) in enumerate(zip(live.appraisal.source.terms.grants, names.grants, strict=True), start=1):
        label(sheet, f"less grant: {grant.name}, for {grant.build or 'all'}", column=4)
        sheet.formula(AMOUNT, f"={name}", Measure.COIN)
        mine = "1" if grant.build is None else f"($A${FIRST}:$A${last}={builds.index(grant.build) + 1})"
        amounts, shares = f"$E${FIRST}:$E${last}", f"$F${FIRST}:$F${last}"
        total = f"SUMPRODUCT({mine}*{amounts})"
        plain = f"SUMPRODUCT({mine}*{shares})/SUMPRODUCT({mine}*({amounts}={amounts}))"
        share = f"=IF({total}>0,SUMPRODUCT({mine}*{amounts}*{shares})/{total},{plain})"
        sheet.formula(SHARE, share, Measure.SHARE)
        sheet.formula(COUNTED, f"=E{sheet.at}*F{sheet.at}", Measure.COIN)
        found.append((grant.build, live.name(f"grant_{number}_counted", sheet, COUNTED)))
        sheet.at += 1
    label(sheet, "Grants, as far as they count", column=4)
    rows = f"=SUM(H{first}:H{sheet.at - 1})" if sheet.at > first else "=0"
    sheet.formula(COUNTED, rows, Measure.COIN)
    live.name("grants", sheet, COUNTED)
    sheet.at += 1
    return found


def _by_build(
    live: Live, sheet: Sheet, grants: list[tuple[str | None, str]], last: int
) -> tuple[dict[int, str], dict[int, str]]:
    """Money counted and grants of each build (0: all); a grant for all is split by the money counted."""
    counted: dict[int, str] = {0: "share_for_heat"}
    got: dict[int, str] = {0: "grants"}
    builds = live.appraisal.source.builds
    if len(builds) < 2:
        return counted, got
    label(sheet, "By build", column=4, bold=True)
    label(sheet, "grants", column=AMOUNT)
    label(sheet, "counts", column=COUNTED)
    sheet.at += 1
    for number, build in enumerate(builds, start=1):
        label(sheet, build.name, column=4)
        own = f"SUMIF($A${FIRST}:$A${last},{number},$H${FIRST}:$H${last})"
        sheet.formula(COUNTED, f"={own}", Measure.COIN)
        counted[number] = live.name(f"builds_{number}_counted", sheet, COUNTED)
        part = f"IF(share_for_heat=0,0,{counted[number]}/share_for_heat)"
        terms = [name if to == build.name else f"{name}*{part}" for to, name in grants if to in (None, build.name)]
        sheet.formula(AMOUNT, "=" + ("+".join(terms) or "0"), Measure.COIN)
        got[number] = live.name(f"builds_{number}_grants", sheet, AMOUNT)
        sheet.at += 1
    return counted, got


@dataclass(frozen=True, slots=True)
class WearPlaces:
    """Where the replacements sheet holds what others need: a column an item, then a column a source."""

    sheet: Sheet
    items: int
    first_year: int
    last_year: int
    sources: dict[str, int]

    def of_items(self, row: int) -> str:
        """A row over all items."""
        return row_of(self.sheet, row, 2, max(2, self.items + 1))

    def of_source(self, name: str, row: int) -> str:
        """A row's cell of one source."""
        return f"'replacements'!${letter(self.sources[name])}${row}"


W_NUMBER, W_YEAR, W_LIFE, W_PAID, W_LEFT, W_PART, W_END = 2, 3, 4, 5, 6, 7, 8
W_CAPITAL_PV, W_NEW_PV, W_LEFT_PV, W_UNIT_NEW_PV, W_UNIT_LEFT_PV, W_YEARS = 9, 10, 11, 12, 13, 15
_WEAR_ROWS = {
    W_NUMBER: "Build no. (0: a heater)",
    W_YEAR: "In year",
    W_LIFE: "Life, years",
    W_PAID: "Paid, as it counts",
    W_LEFT: "Left at its end",
    W_PART: "Part of the last one's life left at the end",
    W_END: "Left in all, today's prices",
    W_CAPITAL_PV: "Capital, today's money",
    W_NEW_PV: "Bought anew, today's money",
    W_LEFT_PV: "Left at the end, today's money",
    W_UNIT_NEW_PV: "Bought anew for each 1 paid, today's money",
    W_UNIT_LEFT_PV: "Growth and today's money of the end",
}


def wear_sheet(live: Live, names: InputNames, capital: CapitalPlaces, discounts: tuple[str, str]) -> WearPlaces:
    """A column for each item and heater, a row for each year: how often it is bought anew.

    `discounts`: the stretches of prices that hold inflation's factor and the year's discount factor, years 0 to N.
    """
    a = live.appraisal
    sheet = live.sheet("replacements", Paper.ACROSS)
    years = a.source.terms.study_years
    label(sheet, "How often each is bought anew in a year, by its life; below the line, year by year", bold=True)
    sheet.page.cell(1, 1).alignment = Alignment(wrap_text=False)
    for row, words in _WEAR_ROWS.items():
        put_text(sheet.page.cell(row, 1), words)
    heads = W_YEARS - 1
    put_text(sheet.page.cell(heads, 1), "Year").font = letters(bold=True)
    for k in range(years + 1):
        sheet.page.cell(W_YEARS + k, 1).value = k
    places = WearPlaces(sheet, len(a.capital.items), W_YEARS, W_YEARS + years, {})
    column = 2
    for place, (item, own) in enumerate(zip(a.capital.items, names.items, strict=True)):
        row = capital.first + place
        given = {W_NUMBER: f"='capital'!$A${row}", W_YEAR: f"='capital'!$K${row}", W_LIFE: f"={own.life}",
                 W_PAID: f"='capital'!$I${row}", W_LEFT: f"='capital'!$J${row}",
                 W_CAPITAL_PV: f"=IF({{c}}{W_YEAR}>study_years,0,'capital'!$H${row}*{{t}})"}  # fmt: skip
        _wear_column(sheet, column, item.what, given, discounts, years)
        column += 1
    for source in a.source.sources:
        money = names.sources[source.name].capital
        if money is not None:
            places.sources[source.name] = column
            own_row = _source_wear(live, source, money, names.sources[source.name].life)
            _wear_column(sheet, column, source.name, own_row, discounts, years)
            column += 1
    freeze_heads(sheet, row=2, column=2)
    sheet.page.print_title_rows = f"{heads}:{heads}"
    set_widths(sheet, widest=16, first=50)
    return places


def print_wear(places: WearPlaces) -> None:
    """So many columns on a page as can be read, each with the words of the rows beside it."""
    page = places.sheet.page
    starts = range(2, page.max_column + 1, _COLUMNS_ON_A_PAGE)
    parts = [(first, min(first + _COLUMNS_ON_A_PAGE - 1, page.max_column)) for first in starts] or [(2, 2)]
    parts[0] = (1, parts[0][1])
    print_in_parts(places.sheet, last_row=page.max_row, parts=parts)


def _source_wear(live: Live, source: Source, money: str, life: str) -> dict[int, str]:
    """What stands above a heater's years. One that is owned costs nothing until it is bought anew."""
    base = live.appraisal.source.terms.base_date
    bought = 0
    if source.bought is not None:
        bought = year_of(source.bought, base=base)
        if source.bought <= base:
            bought = source.bought.year - base.year
            bought += 0 if source.bought <= anniversary(base, bought) else 1
    year = "=0" if source.bought is None else f"=MAX({bought},INT(1-{life}))"
    pays = f"{{c}}{W_PAID}*{{t}}"
    first = f"={pays}" if source.bought is None else f"=IF(AND({{c}}{W_YEAR}>0,{{c}}{W_YEAR}<=study_years),{pays},0)"
    return {W_NUMBER: "=0", W_YEAR: year, W_LIFE: f"={life}", W_PAID: f"={money}*{source.units}", W_LEFT: "=0",
            W_CAPITAL_PV: first}  # fmt: skip


def _wear_column(sheet: Sheet, column: int, head: str, given: dict[int, str], discounts: tuple[str, str],
                 years: int) -> None:  # fmt: skip
    c = letter(column)
    page = sheet.page
    last = W_YEARS + years
    grown, today = discounts
    at = f"(1+discount_rate)^(-IF({c}${W_YEAR}>0,{c}${W_YEAR}-early_by_years,0))"
    counts = f"{c}${W_YEARS}:{c}${last}"
    units = f"INT(MAX(study_years-{c}{W_YEAR}-1,0)/{c}{W_LIFE}+{ROUNDING})"
    part = f"1-(study_years-{c}{W_YEAR}-{units}*{c}{W_LIFE})/{c}{W_LIFE}"
    formulas = {
        **{row: text.format(c=c, t=at) for row, text in given.items()},
        W_PART: f"=IF({c}{W_YEAR}>study_years,0,MAX(0,MIN(1,{part})))",
        W_END: f"=IF({c}{W_YEAR}>study_years,0,{c}{W_LEFT}+({c}{W_PAID}-{c}{W_LEFT})*{c}{W_PART})",
        W_UNIT_NEW_PV: f"=SUMPRODUCT({counts},{grown},{today})",
        W_UNIT_LEFT_PV: "=(1+inflation_in_flows)^study_years*(1+discount_rate)^(-study_years)",
        W_NEW_PV: f"={c}{W_PAID}*{c}{W_UNIT_NEW_PV}",
        W_LEFT_PV: f"={c}{W_END}*{c}{W_UNIT_LEFT_PV}",
    }
    for row, text in formulas.items():
        cell = page.cell(row, column)
        cell.value = text
        cell.number_format = "0" if row in (W_NUMBER, W_YEAR) else "0.0###" if row in (W_LIFE, W_PART) else "#,##0.00"
    cell = put_text(page.cell(W_YEARS - 1, column), head)
    cell.font, cell.alignment = letters(bold=True), Alignment(wrap_text=True, vertical="bottom", horizontal="right")
    for k in range(years + 1):
        row = W_YEARS + k
        since = f"$A{row}-{c}${W_YEAR}"
        ended = f"INT(MAX({since},0)/{c}${W_LIFE}+{ROUNDING})"
        before = f"INT(MAX({since}-1,0)/{c}${W_LIFE}+{ROUNDING})"
        page.cell(row, column).value = f"=IF(AND($A{row}>{c}${W_YEAR},$A{row}<study_years),{ended}-{before},0)"
