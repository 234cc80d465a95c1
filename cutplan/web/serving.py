"""Listens at an address until it is told to end."""

from __future__ import annotations

import socket
from collections.abc import Callable

import uvicorn

from cutplan import actions
from cutplan.problems import Problem, ProblemsFound
from cutplan.web.bench import bench
from cutplan.web.pin_pages import Door

HERE, EVERYWHERE = "127.0.0.1", "0.0.0.0"
PORT = 8321
_PATIENCE_MS = 2_500
"""How long a page waits for a ledger that another program holds."""
_LAST_ANSWERS = 3
"""Seconds in which answers under way are finished when the server ends."""


def serve(*, port: int, say: Callable[[str], None], network: bool = False) -> None:
    """Serve the folder that is worked in until the process is told to end.

    Parameters
    ----------
    port
        0 is any that is free.
    network
        Let phones of the network in, by a PIN.
    say
        Called with the address once somebody listens there.

    Raises
    ------
    ProblemsFound
        When something else listens there.
    """
    listening = _listening(EVERYWHERE if network else HERE, port)
    at = listening.getsockname()[1]
    actions.wait_at_most(_PATIENCE_MS)
    door = Door(address=f"http://{own_address()}:{at}/") if network else Door()
    config = uvicorn.Config(
        bench(numbers=network, door=door),
        log_level="warning",
        access_log=False,
        proxy_headers=False,
        server_header=False,
        date_header=False,
        timeout_graceful_shutdown=_LAST_ANSWERS,
        limit_concurrency=200,
        lifespan="on",
    )
    with listening:
        say(f"http://{HERE}:{at}/")
        uvicorn.Server(config).run(sockets=[listening])


def _listening(host: str, port: int) -> socket.socket:
    made = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        made.bind((host, port))
        made.listen(128)
    except OSError as error:
        made.close()
        found = f"{port}, at which nothing can listen ({error.strerror})"
        raise ProblemsFound(
            [Problem.statement("--port", found, "a port that is free, or 0 for any", code="bench.port")]
        ) from None
    return made


def own_address() -> str:
    """What this computer is called by others in its network; asks nobody, as a datagram that is not sent tells it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        try:
            asking.connect(("192.0.2.1", 9))  # of a block kept for documents (RFC 5737)
        except OSError:
            return HERE
        return str(asking.getsockname()[0])
