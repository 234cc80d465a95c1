"""Listening: an address that is free, at this computer alone, and a clean end."""

from __future__ import annotations

import socket

import pytest

from cutplan.problems import ProblemsFound
from cutplan.web.serving import serve


def test_a_port_that_is_taken_is_refused_before_anything_is_begun() -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        told: list[str] = []
        with pytest.raises(ProblemsFound) as refused:
            serve(port=port, say=told.append)
    assert refused.value.problems[0].code == "bench.port"
    assert not told
