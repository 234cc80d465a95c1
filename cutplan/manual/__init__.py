"""The manual: pages of Markdown that come with the package, a topic each, shown by ``cutplan help TOPIC``.

Pages are words and know nothing of the program. Their tables are written from the declarations in the code by
``python -m tests.manual_tables``, between the marks that :func:`page` leaves out.
"""

from __future__ import annotations

TOPICS: dict[str, str] = {
    "parts": "the parts list: its columns, allowances, assemblies, spares, warnings",
    "lists": "csv files and workbooks, cells that repeat the one above",
    "lengths": "how lengths, angles and prices are typed",
    "sections": "how sections are typed, their standards, materials and grades",
    "holes": "holes in the parts: positions, faces, patterns",
    "prices": "the price list and the form to ask for prices with",
    "buying": "orders, one for each merchant, and what is fetched",
    "workshop": "the workshop file: every key, its default and what it means",
    "cuts": "mitres, what the saw takes, what counts as a cut, when a bar is turned",
    "plan": "how to read the plan: its sheets, its labels, its drawings",
    "money": "what proven means, rounding, tax, the value of offcuts",
    "costs": "what a job costs: hours, coats, overhead, margin, tax",
    "rack": "the rack and its ledger, marks, the rack file",
    "recording": "what came, what was cut, and what to do when a cut goes wrong",
    "jobs": "a job from its order to its end: parts ticked, what it has cost so far",
    "bench": "the pages in the browser: at the desk, at the saw, phones",
    "commands": "every command and option",
    "messages": "exit codes and how a refusal reads",
    "limits": "what is limited, and to what",
    "library": "planning from Python",
    "changes": "what changed, by version",
}
"""Name of each page and what it says in a line, in the order in which they are listed."""


def page(topic: str) -> str:
    """The page of a topic as Markdown, without the marks of tables that are written by a program.

    Raises
    ------
    KeyError
        When there is no such topic.
    """
    from importlib.resources import files

    if topic not in TOPICS:
        raise KeyError(topic)
    text = files(__name__).joinpath(f"{topic}.md").read_text(encoding="utf-8")
    return "".join(line for line in text.splitlines(keepends=True) if not line.startswith("<!--"))


def headings(topic: str) -> tuple[str, ...]:
    """What the parts of a page are called, its title first."""
    outside_code = "".join(page(topic).split("```")[::2])
    return tuple(line.lstrip("# ") for line in outside_code.splitlines() if line.startswith("#"))
