"""A browser without a window, driven over a pipe: no library and no open port is needed."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import time
from pathlib import Path
from typing import Any

OPTIONS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-extensions",
    "--disable-background-networking", "--disable-component-update", "--disable-sync", "--hide-scrollbars",
    "--remote-debugging-pipe",
)  # fmt: skip
PATIENCE_S = 1200.0


def program() -> str:
    """The browser. Its absence is a failure here: these tests run only where they were asked for."""
    found = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    assert found, "no browser is installed; .ci/run installs one"
    return found


class Browser:
    """One page of one browser with a profile of its own, closed at the end of a `with`."""

    def __init__(self, profile: Path) -> None:
        to_browser, ours_out = os.pipe()
        ours_in, from_browser = os.pipe()
        os.set_inheritable(to_browser, True)
        os.set_inheritable(from_browser, True)
        command = [program(), *OPTIONS, f"--user-data-dir={profile}", "about:blank"]
        shell = f'exec 3<&{to_browser} 4>&{from_browser}; exec "$@"'
        self._process = subprocess.Popen(
            ["bash", "-c", shell, "bash", *command], pass_fds=(to_browser, from_browser), stderr=subprocess.DEVNULL,
        )  # fmt: skip
        os.close(to_browser)
        os.close(from_browser)
        self._out, self._in, self._number, self._rest = ours_out, ours_in, 0, b""
        self.events: list[dict[str, Any]] = []
        target = self.ask("Target.createTarget", {"url": "about:blank"}, on_page=False)["targetId"]
        attached = self.ask("Target.attachToTarget", {"targetId": target, "flatten": True}, on_page=False)
        self._session = attached["sessionId"]

    def __enter__(self) -> Browser:
        return self

    def __exit__(self, *_: object) -> None:
        self._process.terminate()
        self._process.wait(PATIENCE_S)
        os.close(self._out)
        os.close(self._in)

    def ask(self, method: str, params: dict[str, Any] | None = None, *, on_page: bool = True) -> dict[str, Any]:
        """Send a command and wait for its answer; what the browser says meanwhile is kept in `events`."""
        self._number += 1
        message: dict[str, Any] = {"id": self._number, "method": method, "params": params or {}}
        if on_page:
            message["sessionId"] = self._session
        os.write(self._out, json.dumps(message).encode() + b"\0")
        while True:
            answer = self._read()
            if answer.get("id") == self._number:
                assert "error" not in answer, answer["error"]
                return dict(answer["result"])
            self.events.append(answer)

    def wait_for(self, method: str) -> None:
        """Read on until the browser says so."""
        until = time.monotonic() + PATIENCE_S
        while not any(event.get("method") == method for event in self.events):
            assert time.monotonic() < until, f"{method} never came"
            self.events.append(self._read())

    def reckon(self, words: str) -> Any:
        """The value of an expression in the page."""
        return self.ask("Runtime.evaluate", {"expression": words, "returnByValue": True})["result"]["value"]

    def _read(self) -> dict[str, Any]:
        while b"\0" not in self._rest:
            more = os.read(self._in, 1 << 16)
            assert more, "the browser has gone"
            self._rest += more
        first, self._rest = self._rest.split(b"\0", 1)
        return dict(json.loads(first))
