"""The command ``serve``."""

from __future__ import annotations

import re
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from urllib.request import urlopen

import pytest

from tests.commands import document, run


@pytest.mark.parametrize("end", [signal.SIGTERM, pytest.param(signal.SIGINT, marks=pytest.mark.thorough)])
def test_it_serves_the_folder_until_it_is_told_to_end(parts: str, end: signal.Signals) -> None:
    program = str(Path(sys.executable).with_name("cutplan"))
    words = [program, "serve", ".", "--port", "0"]
    with subprocess.Popen(words, stderr=subprocess.PIPE, text=True) as served:
        assert served.stderr is not None
        address = re.search(r"http://127\.0\.0\.1:\d+/", served.stderr.readline())
        assert address
        with urlopen(f"{address[0]}state.json", timeout=60) as answer:
            assert b"frame.csv" in answer.read()
        served.send_signal(end)
        assert served.wait(60) == 0
        assert served.stderr.read() == "Ended.\n"


def test_the_address_is_given_as_a_value(parts: str, monkeypatch: pytest.MonkeyPatch) -> None:
    from cutplan.web import serving

    def told(*, say: Callable[[str], None], port: int, network: bool) -> None:
        say(f"http://127.0.0.1:{port}/{network}")

    monkeypatch.setattr(serving, "serve", told)
    assert document(run("serve", ".", "--json", "--port", "9", "--network")) == {"address": "http://127.0.0.1:9/True"}
    assert document(run("serve", "no/such/folder", "--json"))["problems"][0]["code"] == "bench.folder"


def test_a_folder_that_is_none_is_refused() -> None:
    result = run("serve", "no/such/folder")
    assert result.exit_code == 1
    assert "a folder with parts lists in it" in result.stderr
