"""What holds for the whole suite: no test reaches for the network, and random examples come from a fixed seed.

A red run is then hardly ever chance (what is drawn also hangs a little on the modules that are loaded).
`--hypothesis-profile=search` draws new ones.
"""

from __future__ import annotations

import socket
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

# No limit in seconds: a busy machine is no fault of a test. What is slow is found by tests/fuzz/pace.py.
SLOW_TOO = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("same", SLOW_TOO, derandomize=True)
settings.register_profile("search", SLOW_TOO, print_blob=True)
settings.load_profile("same")


@pytest.fixture(autouse=True)
def _no_network(monkeypatch: pytest.MonkeyPatch) -> None:
    """Refuse every connection but those inside this machine's file system."""
    real = socket.socket.connect

    def refuse(self: socket.socket, address: Any) -> None:
        if self.family == getattr(socket, "AF_UNIX", object()):
            return real(self, address)
        raise AssertionError(f"a test reached for the network: {address}")

    monkeypatch.setattr(socket.socket, "connect", refuse)
    monkeypatch.setattr(socket.socket, "connect_ex", refuse)

    def refuse_name(*asked: Any, **_: Any) -> None:
        raise AssertionError(f"a test reached for the network: the name {asked[:1]}")

    def refuse_parcel(self: socket.socket, *_: Any) -> None:
        raise AssertionError(f"a test reached for the network: a parcel from {self}")

    for name in ("getaddrinfo", "gethostbyname", "gethostbyname_ex"):
        monkeypatch.setattr(socket, name, refuse_name)
    monkeypatch.setattr(socket.socket, "sendto", refuse_parcel)
