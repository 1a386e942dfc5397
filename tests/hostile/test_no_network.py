"""The guard that keeps the suite off the network stops every way out, and leaves the program as it is."""

from __future__ import annotations

import socket
import urllib.error
import urllib.request
from pathlib import Path

import pytest

from tests.fuzz.runs import run
from tests.since.farm import farm

DOCUMENTATION = "192.0.2.1"  # an address kept for documentation, RFC 5737


def test_a_connection_is_stopped() -> None:
    with socket.socket() as outward, pytest.raises(AssertionError, match="reached for the network"):
        outward.connect((DOCUMENTATION, 80))
    with socket.socket() as outward, pytest.raises(AssertionError, match="reached for the network"):
        outward.connect_ex((DOCUMENTATION, 80))


def test_a_parcel_is_stopped() -> None:
    with (
        socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as outward,
        pytest.raises(AssertionError, match="reached for the network"),
    ):
        outward.sendto(b"x", (DOCUMENTATION, 53))


def test_the_asking_for_a_name_is_stopped() -> None:
    with pytest.raises(AssertionError, match="reached for the network"):
        socket.getaddrinfo("example.invalid", 80)
    with pytest.raises((AssertionError, urllib.error.URLError)):
        urllib.request.urlopen("http://example.invalid/", timeout=1)


def test_the_program_answers_with_the_network_closed(tmp_path: Path) -> None:
    done = run(["check", str(farm(tmp_path)), "--json", "-"])
    assert not done.fault
    assert done.code == 0
