"""Phones in the workshop's network: let in by a PIN that stands on the screen of the desk, and known by a cookie then.

Who asks from this computer is at the desk and needs none. The key that cookies are signed with lives as long as the
server does, so that all are let in anew once it was started anew.
"""

from __future__ import annotations

import secrets
import time
from collections import defaultdict
from dataclasses import dataclass, field
from hmac import compare_digest
from ipaddress import ip_address
from urllib.parse import quote

from itsdangerous import BadSignature, TimestampSigner
from starlette.exceptions import HTTPException
from starlette.requests import HTTPConnection, Request
from starlette.responses import Response
from starlette.routing import Route
from starlette.types import ASGIApp, Receive, Scope, Send

from cutplan.reports.paper.codes import Codes
from cutplan.web.forms import form_of
from cutplan.web.look import not_given, page, to, wants_values
from cutplan.words.bench_words import PIN_FIRST, PIN_SHUT, PIN_WRONG

COOKIE = "bench"
LETS_IN = 16 * 3600
"""Seconds for which a phone is let in: a long day."""
WRONG_OF_ONE, WRONG_OF_ALL, WITHIN = 5, 20, 600.0
"""Wrong PINs of one address, and of all, within so many seconds; then none is looked at. A million PINs take months."""


@dataclass(slots=True)
class Door:
    """Who is let in. ``address`` is where phones find the server; blank where it is for this computer alone."""

    address: str = ""
    pin: str = field(default_factory=lambda: f"{secrets.randbelow(1_000_000):06d}")
    signer: TimestampSigner = field(default_factory=lambda: TimestampSigner(secrets.token_bytes(32)))
    wrong: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))

    def shut(self, host: str) -> bool:
        """Were there too many wrong PINs?"""
        since = time.monotonic() - WITHIN
        for one in list(self.wrong):
            self.wrong[one] = [at for at in self.wrong[one] if at > since]
            if not self.wrong[one]:
                del self.wrong[one]
        return len(self.wrong.get(host, ())) >= WRONG_OF_ONE or sum(map(len, self.wrong.values())) >= WRONG_OF_ALL

    def opens(self, host: str, typed: str) -> bool:
        """Is it the PIN? A wrong one is counted."""
        if not self.shut(host) and compare_digest(typed.encode(), self.pin.encode()):
            return True
        self.wrong[host].append(time.monotonic())
        return False

    def knows(self, cookie: str) -> bool:
        """Is it a cookie that this server gave, and not too old?"""
        try:
            return self.signer.unsign(cookie, max_age=LETS_IN) == b"phone"
        except BadSignature:
            return False


def at_the_desk(connection: HTTPConnection) -> bool:
    """Does it come from this computer?"""
    try:
        return connection.client is not None and ip_address(connection.client.host).is_loopback
    except ValueError:
        return False


class Doorkeeper:
    """Lets through who is at the desk or was let in; others are asked for the PIN."""

    def __init__(self, app: ASGIApp, door: Door) -> None:
        self.app, self.door = app, door

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass on, or ask for the PIN."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        asking = HTTPConnection(scope)
        path = scope["path"]
        if (
            at_the_desk(asking)
            or path == "/pin"
            or path.startswith("/static/")
            or self.door.knows(asking.cookies.get(COOKIE, ""))
        ):
            await self.app(scope, receive, send)
            return
        reads = scope["method"] == "GET" and not wants_values(asking)
        answer: Response = to(_asked_for(asking)) if reads else not_given(Request(scope), 403, PIN_FIRST)
        await answer(scope, receive, send)


def _asked_for(asking: HTTPConnection) -> str:
    """The page of the PIN, with the one that was asked for: a code on a label opens its bar once the PIN is typed."""
    place = asking.url.path + (f"?{asking.url.query}" if asking.url.query else "")
    return "/pin" if place == "/" else f"/pin?to={quote(place)}"


def _after(place: str) -> str:
    """The page to go on to; one of another server is none."""
    return place if place.startswith("/") and not place.startswith(("//", "/\\")) and place.isprintable() else "/"


def ask(request: Request) -> Response:
    """Where a phone types the PIN."""
    return page(request, "pin", wrong="", after=_after(request.query_params.get("to", "")))


async def enter(request: Request) -> Response:
    """Let a phone in."""
    door: Door = request.app.state.door
    host = request.client.host if request.client else ""
    form = await form_of(request)
    after = _after(form.text("to"))
    if not door.opens(host, form.text("pin")):
        if door.shut(host):
            return page(request, "pin", 429, wrong=PIN_SHUT, after=after)
        return page(request, "pin", 403, wrong=PIN_WRONG, after=after)
    answer = to(after)
    cookie = door.signer.sign("phone").decode()
    answer.set_cookie(COOKIE, cookie, max_age=LETS_IN, httponly=True, samesite="strict", path="/")
    return answer


def phones(request: Request) -> Response:
    """At the desk: the PIN, and the address as a code to scan."""
    if not at_the_desk(request):
        raise HTTPException(404)
    door: Door = request.app.state.door
    code = Codes().svg(door.address)[0] if door.address else ""
    return page(request, "phones", address=door.address, pin=door.pin, code=code)


ROUTES = [
    Route("/pin", ask),
    Route("/pin", enter, methods=["POST"]),
    Route("/phones", phones),
]
