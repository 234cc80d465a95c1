"""One function per thing a person can do; every room meets here and nowhere else.

The command line and a program that imports cutplan call the same functions.
What is wrong with the input is raised as :class:`~cutplan.problems.ProblemsFound`,
an input that no plan can answer as :class:`~cutplan.problems.NoPlan`. The rooms
are imported inside the functions, because some of them load large libraries.

What is offered here is loaded when it is first asked for: all of it takes longer than most commands do. So none of it
has the name of a module of this room.
"""

from __future__ import annotations

import ast
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from cutplan.actions.asking import enquiries, filled_form, price_form
    from cutplan.actions.batch import (
        batch_file_named,
        batch_text,
        batch_values,
        lists_of,
        plan_many,
        run_batch,
        write_batch,
    )
    from cutplan.actions.batch_elsewhere import run_on_cluster
    from cutplan.actions.checked import CheckFailed, read_plan, review, verify
    from cutplan.actions.comparing import choices, compare, comparison, comparison_cells, comparison_values
    from cutplan.actions.costing_jobs import Costed, cost, cost_now, cost_plan, shop_of_plan
    from cutplan.actions.decoding import decode
    from cutplan.actions.drilled_parts import AtTheDrill, at_the_drill, tick_drilled, to_drill
    from cutplan.actions.gone_wrong import Unsaid, Wrong
    from cutplan.actions.grid_columns import GridColumn, Role, columns_of, known_columns
    from cutplan.actions.job_desk import jobs_of, list_found, part_sheets, plan_sheets
    from cutplan.actions.jobs import job_close, job_list, job_show, plan_path
    from cutplan.actions.kept_prices import past_prices_file
    from cutplan.actions.landings import append_landings
    from cutplan.actions.list_grid import (
        COLUMNS,
        MOST_ROWS,
        Answered,
        Grid,
        answered,
        grid_hindrance,
        grid_of,
        new_list,
        pictures,
        save_grid,
    )
    from cutplan.actions.list_places import lists_in
    from cutplan.actions.lists import check, read_job
    from cutplan.actions.loading import load_list
    from cutplan.actions.locking import LOCK_FILE
    from cutplan.actions.order_files import (
        WrittenOrders,
        order_file_names,
        order_texts,
        orders,
        orders_text,
        orders_values,
        write_orders,
    )
    from cutplan.actions.ordering import job_ordered
    from cutplan.actions.other_lists import plan_replaced
    from cutplan.actions.outcomes import jobs_of_year
    from cutplan.actions.output_folder import LABELS, PAGE, PRINTED, WORKBOOK, fingerprint
    from cutplan.actions.past_quotes import keep_quotes, put_charges
    from cutplan.actions.planning import (
        TIME_LIMIT,
        document,
        plan,
        plan_folder,
        plan_into,
        summary,
        tables,
        tables_of_all,
        write_plan,
    )
    from cutplan.actions.price_grid import begin_prices, merchants_named, other_price_lists, price_list, prices_answered
    from cutplan.actions.printing import open_file, planned_together, print_labels, print_rack_labels, print_sheets
    from cutplan.actions.quick import read_quick, save_quick
    from cutplan.actions.quoting import Quoted, money_file_names, quote_plan
    from cutplan.actions.rack_found import Rack, find_rack, ledger_written, wait_at_most
    from cutplan.actions.rack_plans import ledger_given
    from cutplan.actions.racking import (
        rack_add,
        rack_correct,
        rack_history,
        rack_move,
        rack_read,
        rack_return,
        rack_scrap,
        rack_show,
        rack_take,
        rack_to_begin,
    )
    from cutplan.actions.receiving import delivery_sheet, receive, received_text, received_values
    from cutplan.actions.recording import cut_record_sheet, rack_of_plan, read_actual, record
    from cutplan.actions.replanning import Replanned, replan, replan_text, replan_values
    from cutplan.actions.reuse import reused
    from cutplan.actions.sawing import CUT_RECORD_FILE, AtTheSaw, at_the_saw, digest_of, put_away, record_put_away
    from cutplan.actions.seasons import season, season_file_named, write_season
    from cutplan.actions.sections import section, section_details, section_sizes, section_workshop
    from cutplan.actions.starting import convert, known_settings, new
    from cutplan.actions.stocktaking import count_sheet, rack_count, rack_write
    from cutplan.actions.sums import append_parts, brace, frame, gate, spacing, sum_text, sum_values
    from cutplan.actions.ticking import Parts, tick_parts, tick_record
    from cutplan.actions.whole_rack import (
        rack_backup,
        rack_balances,
        rack_old,
        rack_release,
        rack_restore,
        rack_verify,
        undo,
    )
    from cutplan.actions.workshop_blocks import FormBlock, block_tables, blocks_save, blocks_shown
    from cutplan.actions.workshop_form import FormKey, workshop_keys, workshop_save
    from cutplan.rack.pieces import Standing
    from cutplan.rack.stages import Step
    from cutplan.unfinished import PLAN_FILE
    from cutplan.words.bench_words import DeskJob

__all__ = [
    "COLUMNS",
    "CUT_RECORD_FILE",
    "LABELS",
    "LOCK_FILE",
    "MOST_ROWS",
    "PAGE",
    "PLAN_FILE",
    "PRINTED",
    "TIME_LIMIT",
    "WORKBOOK",
    "Answered",
    "AtTheDrill",
    "AtTheSaw",
    "CheckFailed",
    "Costed",
    "DeskJob",
    "FormBlock",
    "FormKey",
    "Grid",
    "GridColumn",
    "Parts",
    "Quoted",
    "Rack",
    "Replanned",
    "Role",
    "Standing",
    "Step",
    "Unsaid",
    "WrittenOrders",
    "Wrong",
    "answered",
    "append_landings",
    "append_parts",
    "at_the_drill",
    "at_the_saw",
    "batch_file_named",
    "batch_text",
    "batch_values",
    "begin_prices",
    "block_tables",
    "blocks_save",
    "blocks_shown",
    "brace",
    "check",
    "choices",
    "columns_of",
    "compare",
    "comparison",
    "comparison_cells",
    "comparison_values",
    "convert",
    "cost",
    "cost_now",
    "cost_plan",
    "count_sheet",
    "cut_record_sheet",
    "decode",
    "delivery_sheet",
    "digest_of",
    "document",
    "enquiries",
    "filled_form",
    "find_rack",
    "fingerprint",
    "frame",
    "gate",
    "grid_hindrance",
    "grid_of",
    "job_close",
    "job_list",
    "job_ordered",
    "job_show",
    "jobs_of",
    "jobs_of_year",
    "keep_quotes",
    "known_columns",
    "known_settings",
    "ledger_given",
    "ledger_written",
    "list_found",
    "lists_in",
    "lists_of",
    "load_list",
    "merchants_named",
    "money_file_names",
    "new",
    "new_list",
    "open_file",
    "order_file_names",
    "order_texts",
    "orders",
    "orders_text",
    "orders_values",
    "other_price_lists",
    "part_sheets",
    "past_prices_file",
    "pictures",
    "plan",
    "plan_folder",
    "plan_into",
    "plan_many",
    "plan_path",
    "plan_replaced",
    "plan_sheets",
    "planned_together",
    "price_form",
    "price_list",
    "prices_answered",
    "print_labels",
    "print_rack_labels",
    "print_sheets",
    "put_away",
    "put_charges",
    "quote_plan",
    "rack_add",
    "rack_backup",
    "rack_balances",
    "rack_correct",
    "rack_count",
    "rack_history",
    "rack_move",
    "rack_of_plan",
    "rack_old",
    "rack_read",
    "rack_release",
    "rack_restore",
    "rack_return",
    "rack_scrap",
    "rack_show",
    "rack_take",
    "rack_to_begin",
    "rack_verify",
    "rack_write",
    "read_actual",
    "read_job",
    "read_plan",
    "read_quick",
    "receive",
    "received_text",
    "received_values",
    "record",
    "record_put_away",
    "replan",
    "replan_text",
    "replan_values",
    "reused",
    "review",
    "run_batch",
    "run_on_cluster",
    "save_grid",
    "save_quick",
    "season",
    "season_file_named",
    "section",
    "section_details",
    "section_sizes",
    "section_workshop",
    "shop_of_plan",
    "spacing",
    "sum_text",
    "sum_values",
    "summary",
    "tables",
    "tables_of_all",
    "tick_drilled",
    "tick_parts",
    "tick_record",
    "to_drill",
    "undo",
    "verify",
    "wait_at_most",
    "workshop_keys",
    "workshop_save",
    "write_batch",
    "write_orders",
    "write_plan",
    "write_season",
]


def _offered() -> dict[str, str]:
    """Every name imported above, and the module that it is imported from."""
    source = Path(__file__).read_text(encoding="utf-8")
    found = (node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.ImportFrom))
    return {alias.name: node.module or "" for node in found for alias in node.names if alias.name in __all__}


if not TYPE_CHECKING:
    _HOMES = _offered()

    def __getattr__(name: str) -> Any:
        if name not in _HOMES:
            raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
        globals()[name] = found = getattr(import_module(_HOMES[name]), name)
        return found
