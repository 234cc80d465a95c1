"""Every command: a module of theirs puts them on the app as it is loaded."""

from cutplan.cli import (
    batch_commands,
    code_commands,
    compare_commands,
    cost_commands,
    help_commands,
    job_commands,
    order_commands,
    plan_commands,
    price_commands,
    print_commands,
    quick_commands,
    rack_commands,
    record_commands,
    section_commands,
    serve_commands,
    start_commands,
    sum_commands,
)
from cutplan.cli.face import app

__all__ = [
    "app",
    "batch_commands",
    "code_commands",
    "compare_commands",
    "cost_commands",
    "help_commands",
    "job_commands",
    "order_commands",
    "plan_commands",
    "price_commands",
    "print_commands",
    "quick_commands",
    "rack_commands",
    "record_commands",
    "section_commands",
    "serve_commands",
    "start_commands",
    "sum_commands",
]
