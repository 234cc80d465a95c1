"""What a planned job costs, for the workshop alone, and the quote that its customer is given."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from cutplan import actions
from cutplan.units import money_text
from cutplan.web.desk_pages import plan_of
from cutplan.web.forms import Form, form_of
from cutplan.web.look import REFUSALS, page, refused
from cutplan.web.sent import NOTHING, Sent, again
from cutplan.words.cost_words import cost_rows, lines_below
from cutplan.words.quote_words import given_text


def money(request: Request, sent: Sent = NOTHING, told: str = "", transport: str = "") -> Response:
    """The cost by the workshop's figures as they are now, and the form of a quote; with one that was refused, or what
    came of one.
    """
    job, plan_file = plan_of(request)
    try:
        read = actions.read_plan(plan_file)
        cost = actions.cost_now(*read, actions.shop_of_plan(plan_file), transport)
    except REFUSALS as wrong:
        return refused(request, wrong)
    shop = read[0].workshop
    return page(
        request,
        "money",
        job=job,
        currency=shop.currency,
        rows=[(row, money_text(row.amount)) for row in cost_rows(cost, shop)],
        below=lines_below(cost, shop.printing),
        told=told,
        sent=sent,
        transport=transport,
        files=actions.money_file_names(plan_file.parent),
    )


async def write(request: Request) -> Response:
    """Write the cost as PDF and workbook."""
    form = await form_of(request)
    return await run_in_threadpool(_write, request, form)


def _write(request: Request, form: Form) -> Response:
    _, plan_file = plan_of(request)
    transport = form.text("transport")
    try:
        done = actions.cost_plan(plan_file, actions.shop_of_plan(plan_file), transport=transport)
    except REFUSALS as wrong:
        return again(request, wrong, form, money, "cost")
    return money(request, told="Written: " + ", ".join(file.name for file in done.files), transport=transport)


async def quote(request: Request) -> Response:
    """Give a quote, kept in the ledger and written as PDF and workbook."""
    form = await form_of(request)
    return await run_in_threadpool(_quote, request, form)


def _quote(request: Request, form: Form) -> Response:
    _, plan_file = plan_of(request)
    transport = form.text("transport")
    try:
        done = actions.quote_plan(
            plan_file,
            actions.rack_of_plan(plan_file),
            number=form.text("number"),
            customer=form.text("customer"),
            valid_until=form.text("valid_until"),
            by_assembly=bool(form.text("by_assembly")),
            transport=transport,
        )
    except REFUSALS as wrong:
        return again(request, wrong, form, money, "quote")
    told = given_text(
        done.quote, done.job.name, done.job.workshop, kept=done.kept, before=done.before, notes=done.notes,
        files=[file.name for file in done.files],
    )  # fmt: skip
    return money(request, told=told, transport=transport)


ROUTES = [
    Route("/job/{job:path}/money", money, name="money"),
    Route("/job/{job:path}/cost", write, methods=["POST"]),
    Route("/job/{job:path}/quote", quote, methods=["POST"]),
]
