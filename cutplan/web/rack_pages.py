"""The rack: what lies there, a piece with its history, and what is done to it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from urllib.parse import quote

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from cutplan import actions
from cutplan.actions import Rack, Standing
from cutplan.problems import Problem, ProblemsFound
from cutplan.units import Printing, length_text
from cutplan.web.forms import Form, form_of
from cutplan.web.look import REFUSALS, page, status_of, to
from cutplan.web.sent import NOTHING, Sent, again
from cutplan.words.count_words import count_text
from cutplan.words.naming import material_name
from cutplan.words.rack_words import corrected_text, done_text, rack_life, rack_line, undone_text


def rack(request: Request, sent: Sent = NOTHING) -> Response:
    """What lies on the rack, all of it or what is looked for; with a form of it that was refused."""
    asked = {name: request.query_params.get(name, "").strip() for name in ("section", "at_least", "place")}
    found_rack = actions.find_rack()
    pieces: tuple[Standing, ...] = ()
    if found_rack.path.exists():
        try:
            pieces = actions.rack_show(found_rack, **{name: text or None for name, text in asked.items()})
        except ProblemsFound as wrong:
            sent = Sent("find", asked, wrong.problems)
    how = found_rack.workshop.printing
    return page(
        request,
        "rack",
        status_of(sent.problems) if sent.problems else 200,
        sent=sent,
        rows=[_row(piece, how) for piece in pieces],
        asked=asked,
        begun=found_rack.path.exists(),
        to_begin=actions.rack_to_begin(found_rack),
        told=request.query_params.get("told", "")[:300],
    )


def _row(piece: Standing, how: Printing) -> dict[str, str]:
    state = piece.state
    held = ", ".join(hold.job for hold in piece.holds)
    return {
        "mark": piece.mark,
        "section": material_name(piece.material, how),
        "length": length_text(state.length, how),
        "count": str(piece.quantity),
        "place": state.place,
        "grade": state.grade or "grade unknown",
        "held": held,
    }


def piece(request: Request, sent: Sent = NOTHING) -> Response:
    """A piece: how it is, and its history; with a form of it that was refused."""
    found_rack = actions.find_rack()
    mark = request.path_params["mark"]
    life = actions.rack_history(found_rack, mark)
    here = [each for each in actions.rack_show(found_rack) if each.mark == life.mark]
    how = found_rack.workshop.printing
    return page(
        request,
        "piece",
        sent=sent,
        mark=life.mark,
        line=rack_line(here[0], how) if here else "",
        place=here[0].state.place if here else "",
        many=here[0].quantity if here else 0,
        told=rack_life(life, how),
    )


_XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
Deed = Callable[[Request, Rack, Form], str]
Show = Callable[[Request, Sent], Response]


def _doing(deed: Deed, show: Show, name: str) -> Callable[[Request], object]:
    """A page that does something to the rack, and then shows it with a sentence on what was done.

    ``show`` is the page with the form of that name, where it was refused.
    """

    async def page_of(request: Request) -> Response:
        form = await form_of(request)
        return await run_in_threadpool(done, request, form)

    def done(request: Request, form: Form) -> Response:
        try:
            told = deed(request, actions.find_rack(), form)
        except REFUSALS as wrong:
            return again(request, wrong, form, show, name)
        return to(str(request.url_for("rack").path) + f"?{_query(told)}")

    return page_of


def _query(told: str) -> str:
    from urllib.parse import urlencode

    return urlencode({"told": told})


def _add(request: Request, rack: Rack, form: Form) -> str:
    waiting = actions.rack_to_begin(rack)
    if waiting is not None:
        found = f"no ledger yet, and pieces in {waiting[0].name} that it would be without"
        raise ProblemsFound(
            [Problem.statement(rack.path.name, found, "the rack begun with those pieces first", code="ledger.missing")]
        )
    marks = actions.rack_add(
        rack,
        form.text("section"),
        form.text("length"),
        quantity=form.number("quantity") if form.text("quantity") else 1,
        mark=form.text("mark"),
        finish=form.text("finish"),
        found=bool(form.text("found")),
        place=form.text("place") or None,
        grade=form.text("grade") or None,
        heat_number=form.text("heat_number") or None,
        end_a=form.text("end_a") or None,
        end_b=form.text("end_b") or None,
    )
    return f"{'Mark' if len(marks) == 1 else 'Marks'} to paint: {', '.join(marks)}"


def _begin(request: Request, rack: Rack, form: Form) -> str:
    waiting = actions.rack_to_begin(rack)
    if waiting is None:
        raise ProblemsFound(
            [Problem.statement("rack", "nothing to begin it with", "a rack that is not begun", code="ledger.missing")]
        )
    marks = actions.rack_read(rack, waiting[0])
    return f"The rack is begun with {', '.join(marks)}"


def _move(request: Request, rack: Rack, form: Form) -> str:
    moved = actions.rack_move(rack, [request.path_params["mark"]], form.text("place"))
    return rack_line(moved[0], rack.workshop.printing)


def _scrap(request: Request, rack: Rack, form: Form) -> str:
    count = form.number("quantity") if form.text("quantity") else None
    gone = actions.rack_scrap(rack, [request.path_params["mark"]], quantity=count, reason=form.text("reason"))
    return done_text("Scrap", gone[0], rack.workshop.printing)


def _measure(request: Request, rack: Rack, form: Form) -> str:
    was, now = actions.rack_correct(
        rack, request.path_params["mark"], reason=form.text("reason"), length=form.text("length")
    )
    return corrected_text(was, now, rack.workshop.printing)


def _undo(request: Request, rack: Rack, form: Form) -> str:
    return undone_text(actions.undo(rack))


def count_sheet(request: Request) -> Response:
    """The sheet of a stock-take of one place, as a workbook to fill in there."""
    place = request.query_params.get("place", "").strip()
    with TemporaryDirectory() as aside:
        sheet = Path(aside) / "count.xlsx"
        actions.count_sheet(actions.find_rack(), place, sheet)
        content = sheet.read_bytes()
    named = quote(f"count {place}.xlsx")
    return Response(content, media_type=_XLSX, headers={"content-disposition": f"attachment; filename*=UTF-8''{named}"})


async def count(request: Request) -> Response:
    """Put what a filled sheet says of a place into the ledger."""
    form = await form_of(request)
    return await run_in_threadpool(_count, request, form)


def _count(request: Request, form: Form) -> Response:
    place, given = form.text("place"), form.files.get("sheet")
    try:
        if given is None:
            raise ProblemsFound([Problem.statement("sheet", "no file", "the sheet, filled in", code="bench.field")])
        found_rack = actions.find_rack()
        with TemporaryDirectory() as aside:
            sheet = Path(aside) / f"count{Path(given[0]).suffix.lower()}"
            sheet.write_bytes(given[1])
            found = actions.rack_count(found_rack, place, sheet, reason=form.text("reason"))
    except REFUSALS as wrong:
        return again(request, wrong, form, rack, "count")
    return page(request, "counted", told=count_text(place, found, found_rack.workshop.printing))


ROUTES = [
    Route("/rack/count.xlsx", count_sheet),
    Route("/rack/count", count, methods=["POST"]),
    Route("/rack", rack, name="rack"),
    Route("/rack/add", _doing(_add, rack, "add"), methods=["POST"]),
    Route("/rack/begin", _doing(_begin, rack, "begin"), methods=["POST"]),
    Route("/rack/undo", _doing(_undo, rack, "undo"), methods=["POST"]),
    Route("/rack/piece/{mark}", piece),
    Route("/rack/piece/{mark}/move", _doing(_move, piece, "move"), methods=["POST"]),
    Route("/rack/piece/{mark}/scrap", _doing(_scrap, piece, "scrap"), methods=["POST"]),
    Route("/rack/piece/{mark}/measure", _doing(_measure, piece, "measure"), methods=["POST"]),
]
