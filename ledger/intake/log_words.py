"""Words that loggers write: marks of a missing reading, months, marks of a half day, on and off."""

from __future__ import annotations

import re
import unicodedata

LONGEST_CELL = 80  # no stamp and no number of a logger is longer; longer text is words
# common practice, no source: what stations and loggers write where they have no reading; compared without case
MISSING = frozenset(
    [
        "na",
        "n/a",
        "n.a.",
        "nan",
        "null",
        "none",
        "nil",
        "err",
        "error",
        "ofl",
        "ol",
        "oor",
        "lo",
        "hi",
        "low",
        "high",
        "open",
        "short",
        "fault",
        "fail",
        "failed",
        "offline",
        "lost",
        "invalid",
        "bad",
        "missing",
        "nodata",
        "no_data",
        "#n/a",
        "#value!",
        "#ref!",
        "#null!",
        "#div/0!",
        "inf",
        "-inf",
        "+inf",
    ]
)
ON_OFF = {
    word: value
    for value, words in (
        (
            1.0,
            "on true yes y t running run active ein an ja wahr marche oui vrai acceso si on/1 aan encendido sim ligado",
        ),
        (
            0.0,
            "off false no n f stopped stop inactive idle aus nein falsch arret non faux spento uit apagado nao",
        ),
    )
    for word in words.split()
}
_MONTHS = (
    "january jan januar jaen janvier janv gennaio gen enero ene janeiro januari tammikuu tammi stycznia styczen sty",
    "february feb februar fevrier fevr fev febbraio febrero fevereiro februari helmikuu helmi lutego luty lut",
    "march mar maerz mrz marz marzo mars mart marco maart mrt maaliskuu maalis marca marzec",
    "april apr avril avr aprile abril abr huhtikuu huhti kwietnia kwiecien kwi",
    "may mai maj maggio mag mayo maio mei toukokuu touko maja",
    "june jun juni juin giugno giu junio junho kesakuu kesa czerwca czerwiec cze",
    "july jul juli juillet juil luglio lug julio julho heinakuu heina lipca lipiec lip",
    "august aug aout agosto ago augustus elokuu elo sierpnia sierpien sie",
    "september sep sept septembre settembre set septiembre setembro syyskuu syys wrzesnia wrzesien wrz",
    "october oct oktober okt octobre ottobre ott octubre outubro out lokakuu loka pazdziernika pazdziernik paz",
    "november nov novembre noviembre novembro marraskuu marras listopada listopad lis",
    "december dec dezember dez decembre dicembre dic diciembre dezembro joulukuu joulu grudnia grudzien gru desember",
)
MONTHS = {word: number for number, words in enumerate(_MONTHS, 1) for word in words.split()}
MORNING = frozenset({"am", "a", "vorm", "vm", "午前", "上午", "오전", "πμ"})
AFTERNOON = frozenset({"pm", "p", "nachm", "nm", "午後", "下午", "오후", "μμ"})
TIME_WORDS = frozenset(
    [
        "time",
        "date",
        "datetime",
        "timestamp",
        "stamp",
        "when",
        "clock",
        "zeit",
        "datum",
        "uhrzeit",
        "zeitstempel",
        "heure",
        "horodatage",
        "ora",
        "data",
        "fecha",
        "hora",
        "tijd",
        "tid",
        "dato",
        "klokke",
        "aika",
        "paiva",
        "czas",
        "dzien",
        "epoch",
        "unix",
        "utc",
        "local",
        "recorded",
    ]
)
_NAMED = re.compile(r"[^\W_]")
_DASHES = str.maketrans(dict.fromkeys("−–—‐‑‒﹣－", "-"))


def plain(text: str) -> str:
    """Fold case, accents, widths and kinds of blank and dash, so that words compare."""
    if text.isascii():
        return " ".join(text.casefold().split())
    text = unicodedata.normalize("NFKD", text.translate(_DASHES)).casefold()
    return " ".join("".join(c for c in text if not unicodedata.combining(c)).split())


def is_missing(text: str) -> bool:
    """Whether a cell says that there is no reading: blank, dashes, dots, stars, or a known word."""
    return _NAMED.search(text) is None or plain(text) in MISSING


def dashes_plain(text: str) -> str:
    """Turn every kind of minus and dash into the ASCII one."""
    return text.translate(_DASHES)
