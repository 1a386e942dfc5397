"""What only the fitted house model can tell, on the screen of `appraise`: each build's part, and what-ifs."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.heat.housemodel.answer import SeasonModel
from ledger.views.grid import grid_lines
from ledger.views.model_rows import (
    NOT_BELIEVED,
    SIZE_WORDS,
    fan_words,
    last_told,
    no_difference_words,
    shared_words,
    split_table,
    split_words,
    what_if_table,
)
from ledger.views.row import style_of
from ledger.views.screen import Screen


def model_lines(a: Appraisal, screen: Screen) -> list[str]:
    """Each build's part, and, of a model that is believed, what-ifs."""
    season = last_told(a)
    parts = [] if season is None else _split(season, a, screen)
    lines = [*screen.heading("What does each build give?"), *parts] if parts or split_words(a) else []
    if split_words(a):
        lines += screen.prose(split_words(a), indent=2)
    if season is None:
        return lines
    return lines + (_what_ifs(season, a, screen) if season.believed else [])


def _split(season: SeasonModel, a: Appraisal, screen: Screen) -> list[str]:
    told = season.answer.told
    table = split_table(told, a)
    if table is None:
        return []
    lines = screen.prose(f"Heat not bought over season {season.season}, by the fitted house model:", indent=2)
    lines += grid_lines(table, style=style_of(a), screen=screen)
    lines += screen.prose(shared_words(told, a), indent=2)
    return lines if season.believed else lines + screen.prose(NOT_BELIEVED, indent=2)


def _what_ifs(season: SeasonModel, a: Appraisal, screen: Screen) -> list[str]:
    told = season.answer.told
    table, words = what_if_table(told, a), (no_difference_words(told, a), fan_words(told, a))
    if table is None and not any(words):
        return []
    lines = screen.heading("What if it were built or set otherwise?")
    if table is not None:
        text = f"Against now, over season {season.season}, by the fitted house model, range in eight cases of ten:"
        lines += screen.prose(text, indent=2)
        lines += grid_lines(table, style=style_of(a), screen=screen)
        lines += screen.prose(SIZE_WORDS, indent=2)
    for sentence in words:
        lines += screen.prose(sentence, indent=2) if sentence else []
    return lines
