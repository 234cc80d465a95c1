"""What is asked of every request before a page sees it, and what is said with every answer.

A page of another site can make a browser send requests here, and a name of its own can be made to lead here. So the
host has to be one of this machine's, what changes something has to come from a page of this server, and what is sent
says its length, which is limited.
"""

from __future__ import annotations

from collections.abc import Collection
from ipaddress import ip_address
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from cutplan.web.look import not_given

MOST_BYTES = 8 * 1024 * 1024
"""What one request may send. The largest list that is read is smaller."""
FROM_ELSEWHERE, NO_LENGTH, TOO_LONG, NOT_OURS = 403, 411, 413, 421

CONTENT_POLICY = "; ".join(
    (
        "default-src 'none'",
        "style-src 'self'",
        "script-src 'self'",
        "img-src 'self' data:",
        "connect-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
_SAID = {
    "content-security-policy": CONTENT_POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "x-frame-options": "DENY",
}
_READING = ("GET", "HEAD")


class Guard:
    """Lets through what may be asked for.

    Parameters
    ----------
    names
        Host names that lead here, besides numbers: a number in the address bar cannot be another site's name.
    """

    def __init__(self, app: ASGIApp, names: Collection[str] = ("localhost",), *, numbers: bool = False) -> None:
        self.app, self.names, self.numbers = app, frozenset(names), numbers

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Refuse, or pass on with headers added to the answer and the body counted."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        refused = self._refused(scope)
        if refused:
            await not_given(Request(scope), refused)(scope, receive, _saying(send))
            return
        await self.app(scope, receive, _saying(send))

    def _refused(self, scope: Scope) -> int:
        """The status of the answer; 0 where it is let through."""
        headers = Headers(scope=scope)
        host = headers.get("host", "")
        if not self._ours(host):
            return NOT_OURS
        if scope["method"] in _READING:
            return 0
        if headers.get("origin", "") != f"{scope['scheme']}://{host}":
            return FROM_ELSEWHERE
        length = headers.get("content-length", "")
        if not length.isdecimal():
            return NO_LENGTH
        if int(length) > MOST_BYTES:
            return TOO_LONG
        return 0

    def _ours(self, host: str) -> bool:
        try:
            name = urlsplit(f"//{host}").hostname or ""
        except ValueError:
            return False
        if name in self.names:
            return True
        try:
            address = ip_address(name)
        except ValueError:
            return False
        return self.numbers or address.is_loopback


def _saying(send: Send) -> Send:
    async def saying(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in _SAID.items():
                headers.setdefault(name, value)
            headers.setdefault("cache-control", "no-store")
        await send(message)

    return saying
