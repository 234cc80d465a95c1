"""Listening: an address that is free, at this computer alone, and a clean end."""

from __future__ import annotations

import socket
from pathlib import Path

import pytest

from cutplan.problems import ProblemsFound
from cutplan.web.serving import serve
from tests.serve_process import in_network, served_by_command


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


def answers(host: str, port: int) -> str:
    """The first line of what a server says to somebody who asks at an address; blank where nobody listens there."""
    try:
        with socket.create_connection((host, port), timeout=30) as asking:
            asking.sendall(f"GET / HTTP/1.0\r\nhost: {host}:{port}\r\n\r\n".encode())
            return asking.makefile("rb").readline().decode().strip()
    except ConnectionRefusedError:
        return ""


@pytest.mark.thorough
def test_without_more_only_this_computer_is_listened_to(tmp_path: Path) -> None:
    own = in_network()
    with served_by_command(tmp_path) as port:
        assert answers("127.0.0.1", port) == "HTTP/1.1 200 OK"
        assert answers(own, port) == ""


@pytest.mark.thorough
def test_with_network_every_address_is_listened_to_and_who_asks_from_elsewhere_is_sent_to_the_pin(
    tmp_path: Path,
) -> None:
    own = in_network()
    with served_by_command(tmp_path, "--network") as port:
        assert answers("127.0.0.1", port) == "HTTP/1.1 200 OK"
        assert answers(own, port) == "HTTP/1.1 303 See Other"
