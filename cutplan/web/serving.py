"""Listens at an address until it is told to end."""

from __future__ import annotations

import socket
from collections.abc import Callable

import uvicorn

from cutplan.problems import Problem, ProblemsFound
from cutplan.web.bench import bench

HERE = "127.0.0.1"
PORT = 8321
_LAST_ANSWERS = 3
"""Seconds in which answers under way are finished when the server ends."""


def serve(*, port: int, say: Callable[[str], None]) -> None:
    """Serve the folder that is worked in until the process is told to end.

    Parameters
    ----------
    port
        0 is any that is free.
    say
        Is told the address, once somebody listens there.

    Raises
    ------
    ProblemsFound
        When something else listens there.
    """
    listening = _listening(port)
    address = f"http://{HERE}:{listening.getsockname()[1]}/"
    config = uvicorn.Config(
        bench(), log_level="warning", access_log=False, proxy_headers=False, server_header=False, date_header=False,
        timeout_graceful_shutdown=_LAST_ANSWERS, limit_concurrency=200, lifespan="on",
    )  # fmt: skip
    with listening:
        say(address)
        uvicorn.Server(config).run(sockets=[listening])


def _listening(port: int) -> socket.socket:
    made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        made.bind((HERE, port))
        made.listen(128)
    except OSError as error:
        made.close()
        found = f"{port}, at which nothing can listen ({error.strerror})"
        raise ProblemsFound(
            [Problem.statement("--port", found, "a port that is free, or 0 for any", code="bench.port")]
        ) from None
    return made
