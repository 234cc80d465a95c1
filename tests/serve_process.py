"""``cutplan serve`` as a process of its own, and the address by which others in the network reach this machine."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from ipaddress import ip_address
from pathlib import Path

import pytest

from cutplan.web import serving

PATIENCE = 60


def in_network() -> str:
    """The address of this machine in its network; where it is in none, a test of it is left out."""
    own = serving.own_address()
    if ip_address(own).is_loopback:
        pytest.skip("this machine is in no network")
    return own


@contextmanager
def served_by_command(folder: Path, *options: str) -> Iterator[int]:
    """The port of a server of a folder, which is told to end afterwards."""
    program = str(Path(sys.executable).with_name("cutplan"))
    words = [program, "serve", str(folder), "--port", "0", *options]
    with subprocess.Popen(words, stderr=subprocess.PIPE, text=True) as served:
        try:
            assert served.stderr is not None
            told = re.search(r"http://127\.0\.0\.1:(\d+)/", served.stderr.readline())
            assert told
            yield int(told[1])
        finally:
            served.terminate()
            assert served.wait(PATIENCE) == 0
