"""What a plan orders from each merchant: the texts to send, and files of them to download and print."""

from __future__ import annotations

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from cutplan import actions
from cutplan.web.desk_pages import plan_of
from cutplan.web.forms import Form, form_of
from cutplan.web.look import REFUSALS, page, refused, to
from cutplan.web.sent import NOTHING, Sent, again


def orders(request: Request, sent: Sent = NOTHING) -> Response:
    """The texts, and the files that are written by now; with a form that was refused."""
    job, plan_file = plan_of(request)
    try:
        texts = actions.order_texts(plan_file)
    except REFUSALS as wrong:
        return refused(request, wrong)
    return page(request, "orders", job=job, texts=texts, sent=sent, files=actions.order_file_names(plan_file.parent))


async def write(request: Request) -> Response:
    """Write an order, or all, as PDF, workbook and text."""
    form = await form_of(request)
    return await run_in_threadpool(_write, request, form)


def _write(request: Request, form: Form) -> Response:
    job, plan_file = plan_of(request)
    try:
        actions.write_orders(
            plan_file, form.text("merchant"), number=form.text("number"), day=form.text("day"),
            certificate=form.text("certificate"),
        )  # fmt: skip
    except REFUSALS as wrong:
        return again(request, wrong, form, orders, f"order {form.text('merchant')}")
    return to(request.url_for("orders", job=job.key).path)


ROUTES = [
    Route("/job/{job:path}/orders", orders, name="orders"),
    Route("/job/{job:path}/orders", write, methods=["POST"]),
]
