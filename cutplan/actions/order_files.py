"""The orders of a plan, one for each merchant, as files to print, to keep and to send."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from cutplan.actions.checked import read_plan
from cutplan.actions.ordering import chosen_merchants, day_typed
from cutplan.actions.output_folder import fingerprint, reserved
from cutplan.actions.printing import could_write
from cutplan.actions.publishing import staged
from cutplan.actions.typed_values import number_typed, printable

if TYPE_CHECKING:
    from cutplan.model import Job, Plan
    from cutplan.units import Money
    from cutplan.words.order_words import Order

LONGEST_NAME = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenOrder:
    """One order and the files it was written to."""

    order: Order
    paths: tuple[Path, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenOrders:
    """The orders of a plan.

    Parameters
    ----------
    in_none
        What is bought and stands in no order, because no merchant is named for it.
    to_pay
        What the plan says there is to pay for all of it; None where the orders are not all of them.
    """

    orders: tuple[WrittenOrder, ...]
    in_none: tuple[str, ...]
    to_pay: Money | None

    @property
    def rounding(self) -> Money:
        """By how much the orders come to more than the plan, because each has its tax rounded by itself."""
        if self.to_pay is None or self.in_none:
            return 0
        return sum(each.order.to_pay for each in self.orders) - self.to_pay


def write_orders(
    plan_file: Path | str, merchant: str = "", *, number: str = "", day: str = "", certificate: str = ""
) -> WrittenOrders:
    """Write what a plan orders from each merchant, or from one, as PDF, workbook and text beside its plan.json.

    Parameters
    ----------
    number
        The order's own number, which names its files too; else it is numbered after the plan.
    day
        The day to date it by, such as ``2031-06-01``; orders are not dated unless it is given.
    certificate
        The inspection certificate wanted; blank is the workshop's.

    Raises
    ------
    Unsaid
        When there is one number and more than one merchant to order from.
    ProblemsFound
        When the file is no plan file, the plan buys nothing, or not from this merchant, the day cannot be read, or the
        files cannot be written.
    CheckFailed
        When something in the plan file does not hold; nothing is written.
    """
    from cutplan.model.totals import totals_of
    from cutplan.reports.paper.order_sheet import order_pdf
    from cutplan.reports.rows import rows_of
    from cutplan.reports.workbook.ordersheet import order_book
    from cutplan.words.order_words import in_no_order, message_text, orders_of

    path = Path(plan_file)
    own, wanted, dated = number_typed(number), printable("--certificate", certificate), day_typed(day)
    with reserved(path.parent, workbook=False):
        job, plan = read_plan(path)
        orders = {order.merchant: order for order in orders_of(job, plan, fingerprint(path), certificate=wanted)}
        names = chosen_merchants(job, list(orders), merchant, own, "MERCHANT")
        chosen = [replace(orders[name], number=own or orders[name].number, day=dated) for name in names]
        rows = rows_of(job, plan)
        written = []
        with could_write(path.parent), staged(path.parent) as new:
            for order in chosen:
                # A number has nothing in it that a file's name may not have, and two that differ are two orders.
                stem = "-".join(filter(None, ("order", order.number.casefold(), file_name(order.merchant))))
                (new / f"{stem}.pdf").write_bytes(order_pdf(order))
                (new / f"{stem}.xlsx").write_bytes(order_book(order, rows))
                (new / f"{stem}.txt").write_text(message_text(order), encoding="utf-8")
                paths = (path.with_name(f"{stem}.{kind}") for kind in ("pdf", "xlsx", "txt"))
                written.append(WrittenOrder(order=order, paths=tuple(paths)))
    return WrittenOrders(
        orders=tuple(written),
        in_none=in_no_order(job),
        to_pay=totals_of(job, plan).money.to_pay if len(chosen) == len(orders) else None,
    )


def orders(job: Job, plan: Plan, *, certificate: str = "") -> tuple[Order, ...]:
    """What a plan orders from each merchant, with its sums; numbered after the file that it would be written to.

    Parameters
    ----------
    certificate
        The inspection certificate wanted; blank is the workshop's.
    """
    import hashlib

    from cutplan.planfile.document import to_document
    from cutplan.planfile.files import document_text
    from cutplan.words.order_words import orders_of

    content = document_text(to_document(job, plan)).encode("utf-8", "backslashreplace")
    return orders_of(job, plan, hashlib.sha256(content).hexdigest()[:8], certificate=certificate)


def order_texts(plan_file: Path | str) -> tuple[tuple[str, str], ...]:
    """The orders of a plan as the texts of messages, each with its merchant; nothing is written.

    Raises
    ------
    ProblemsFound, CheckFailed
        When the plan file cannot be used.
    """
    from cutplan.words.order_words import message_text, orders_of

    path = Path(plan_file)
    job, plan = read_plan(path)
    return tuple((order.merchant, message_text(order)) for order in orders_of(job, plan, fingerprint(path)))


def order_file_names(folder: Path) -> tuple[str, ...]:
    """The files of orders that were written into the folder of a plan."""
    kinds = (".pdf", ".xlsx", ".txt")
    return tuple(sorted(path.name for path in folder.glob("order-*") if path.suffix in kinds and path.is_file()))


def file_name(text: str) -> str:
    """A text as part of a file's name: letters and figures, the rest as hyphens."""
    return re.sub(r"[\W_]+", "-", text.casefold()).strip("-")[:LONGEST_NAME].strip("-")


def orders_values(written: WrittenOrders) -> dict[str, Any]:
    """What was written, as values for JSON."""
    from cutplan.units import exact_money_text
    from cutplan.words.order_words import order_values

    return {
        "orders": [
            {**order_values(each.order), "files": [str(path) for path in each.paths]} for each in written.orders
        ],
        "in_no_order": list(written.in_none),
        "rounding": exact_money_text(written.rounding),
    }


def orders_text(written: WrittenOrders) -> str:
    """What was written, and each order as the text of a message."""
    from cutplan.words.order_words import beside_orders, message_text

    lines = []
    for each in written.orders:
        lines += [message_text(each.order), f"Written: {', '.join(str(path) for path in each.paths)}", ""]
    lines += beside_orders(written.in_none, written.rounding)
    lines.append("When they are sent, note it: cutplan job ordered PLAN --merchant NAME --number NUMBER")
    return "\n".join(lines)
