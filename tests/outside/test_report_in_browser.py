"""The report in a real browser with the network off, on a desk, on a phone and on paper; and the PDF beside it."""

from __future__ import annotations

import base64
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from ledger.views.pdf import pdf_bytes
from ledger.views.report import report_bytes
from ledger.views.row import HEADLINES
from tests.known import known
from tests.outside.chromium import Browser
from tests.report.made import HOSTILE, harmed
from tests.report.reading import Page

ROOT = Path(__file__).parents[2]
A4, LETTER = (8.27, 11.69), (8.5, 11.0)
PLAIN = {
    "torvena": "demo/torvena/ledger.toml", "sorrel": "demo/sorrel/ledger.toml", "vantarel": "demo/vantarel/ledger.toml",
    "no-log": None,
}  # fmt: skip
HARMED = {f"hostile-{k}": text for k, text in enumerate(HOSTILE)}
pytestmark = pytest.mark.outside


@pytest.fixture(scope="module")
def papers(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[Path, Path]]:
    """HTML and PDF of both demos and a ledger without a log, as the program writes them; and of harmful text."""
    folder = tmp_path_factory.mktemp("papers")
    made = {}
    for name, ledger in PLAIN.items():
        html, pdf = folder / f"{name}.html", folder / f"{name}.pdf"
        if ledger is None:
            subprocess.run([sys.executable, "-m", "ledger", "start", str(folder / "farm")], check=True, cwd=ROOT)
            ledger = str(folder / "farm")
        command = [sys.executable, "-m", "ledger", "appraise", ledger, "--report", str(html), "--pdf", str(pdf)]
        subprocess.run(command, check=True, capture_output=True, cwd=ROOT, timeout=3600)
        made[name] = (html, pdf)
    for name, text in HARMED.items():
        html, pdf = folder / f"{name}.html", folder / f"{name}.pdf"
        html.write_bytes(report_bytes(harmed(text)))
        pdf.write_bytes(pdf_bytes(harmed(text)))
        made[name] = (html, pdf)
    return made


@pytest.fixture(scope="module")
def browser(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Browser]:
    with Browser(tmp_path_factory.mktemp("profile")) as opened:
        for part in ("Page", "Network", "Runtime", "Log"):
            opened.ask(f"{part}.enable")
        offline = {"offline": True, "latency": 0, "downloadThroughput": 0, "uploadThroughput": 0}
        opened.ask("Network.emulateNetworkConditions", offline)
        yield opened


def opened(browser: Browser, html: Path, *, width: int) -> None:
    browser.ask(
        "Emulation.setDeviceMetricsOverride",
        {"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": width < 600},
    )
    browser.events.clear()
    browser.ask("Page.navigate", {"url": html.as_uri()})
    browser.wait_for("Page.loadEventFired")


def pages_of(pdf: Path) -> int:
    assert shutil.which("pdfinfo"), "no PDF tools are installed; .ci/run installs them"
    said = subprocess.run(["pdfinfo", str(pdf)], check=True, capture_output=True, text=True).stdout
    return int(known(re.search(r"^Pages:\s+(\d+)", said, re.M)).group(1))


@pytest.mark.parametrize("name", [*PLAIN, *HARMED])
@pytest.mark.parametrize("width", [375, 1280])
def test_it_asks_for_nothing_fails_at_nothing_and_runs_over_no_edge(
    papers: dict[str, tuple[Path, Path]], browser: Browser, name: str, width: int
) -> None:
    html = papers[name][0]
    opened(browser, html, width=width)
    asked = [
        event["params"]["request"]["url"]
        for event in browser.events
        if event.get("method") == "Network.requestWillBeSent"
    ]
    assert asked == [html.as_uri()]
    said = [e for e in browser.events if e.get("method") in ("Runtime.exceptionThrown", "Log.entryAdded")]
    assert said == []
    assert browser.reckon("document.scripts.length") == 0
    assert browser.reckon("document.documentElement.scrollWidth") <= width
    wide = (
        "[...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > innerWidth + 1)"
        ".map(e => e.tagName + ' ' + e.textContent.slice(0, 40))"
    )
    assert browser.reckon(wide) == []


@pytest.mark.parametrize("name", [*PLAIN, *HARMED])
@pytest.mark.parametrize("paper", [A4, LETTER], ids=["A4", "Letter"])
def test_it_prints_on_two_pages(
    papers: dict[str, tuple[Path, Path]], browser: Browser, tmp_path: Path, name: str, paper: tuple[float, float]
) -> None:
    opened(browser, papers[name][0], width=1280)
    size = {"paperWidth": paper[0], "paperHeight": paper[1], "preferCSSPageSize": True, "printBackground": False}
    printed = tmp_path / "printed.pdf"
    printed.write_bytes(base64.b64decode(browser.ask("Page.printToPDF", size)["data"]))
    assert pages_of(printed) == 2


@pytest.mark.parametrize("name", [*PLAIN, *HARMED])
def test_the_pdf_has_two_pages(papers: dict[str, tuple[Path, Path]], name: str) -> None:
    assert pages_of(papers[name][1]) == 2


@pytest.mark.parametrize("name", list(PLAIN))
def test_page_1_of_a_real_answer_keeps_to_350_words(papers: dict[str, tuple[Path, Path]], name: str) -> None:
    first = papers[name][0].read_text(encoding="utf-8").split("<article ")[1].split(">", 1)[1]
    assert 80 < len(re.findall(r"\w[\w.,'-]*", Page(f"<article>{first}").words)) <= 350


@pytest.mark.parametrize("name", list(PLAIN))
def test_the_headline_figures_stand_in_the_pdf_as_in_the_page(papers: dict[str, tuple[Path, Path]], name: str) -> None:
    html, pdf = papers[name]
    read = subprocess.run(["pdftotext", "-layout", str(pdf), "-"], check=True, capture_output=True, text=True).stdout
    lines = [" ".join(line.split()) for line in read.splitlines()]
    rows = [text for _, text in Page(html.read_text(encoding="utf-8")).of("tr")]
    for words in HEADLINES.values():
        row = next(text for text in rows if text.startswith(words))
        line = next(line for line in lines if line.startswith(words))
        assert line == row


@pytest.mark.parametrize("name", [n for n, text in HARMED.items() if text.isascii() and text.isprintable() and text])
def test_hostile_text_can_be_read_in_the_pdf(papers: dict[str, tuple[Path, Path]], name: str) -> None:
    read = subprocess.run(["pdftotext", str(papers[name][1]), "-"], check=True, capture_output=True, text=True).stdout
    together = "".join(read.split())
    assert "".join(HARMED[name].split())[:20] in together
