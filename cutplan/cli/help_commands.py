"""The command ``help``: the pages of the manual."""

from __future__ import annotations

import re
import sys
from typing import Annotated

import typer

from cutplan import manual
from cutplan.cli.face import IN_ORDER, app
from cutplan.cli.options import AsJson, Debug
from cutplan.cli.output import answering, print_json, print_text, width
from cutplan.problems import Problem, ProblemsFound, nearest

_LISTS = ("commands", "messages", "changes")
"""Pages that mention everything and explain nothing."""


@app.command("help")
def show_help(
    topic: Annotated[
        str, typer.Argument(metavar="TOPIC", help="What to read about; without it the topics are listed.")
    ] = "",
    as_json: AsJson = False,
    debug: Debug = False,
) -> None:
    """Show a page of the manual.

    Without a topic, lists them with what each is about.
    """
    with answering(as_json, debug):
        name = " ".join(topic.split()).lower()
        if not name:
            if as_json:
                print_json({"topics": [{"topic": each, "about": about} for each, about in manual.TOPICS.items()]})
            else:
                print_text(_list_of_topics())
        elif name not in manual.TOPICS:
            raise ProblemsFound([_unknown(topic)])
        elif as_json:
            print_json({"topic": name, "about": manual.TOPICS[name], "text": manual.page(name)})
        elif sys.stdout is not None and sys.stdout.isatty():
            _set_for_the_terminal(_with_topics(manual.page(name)))
        else:
            print_text(_with_topics(manual.page(name)).rstrip("\n"))


def _list_of_topics() -> str:
    wide = max(map(len, manual.TOPICS))
    lines = ["Pages of the manual, each shown by cutplan help TOPIC:"]
    lines += [f"  {topic:<{wide}}  {about}" for topic, about in manual.TOPICS.items()]
    return "\n".join([*lines, "What a command takes: cutplan COMMAND --help"])


def _unknown(typed: str) -> Problem:
    return Problem(
        where="TOPIC",
        found=typed,
        accepted=", ".join(manual.TOPICS),
        hint=_hint(" ".join(typed.split())),
        code="command.topic",
    )


def _hint(typed: str) -> str:
    """The page that most likely has what was looked for: by its name, its headings, or else by its words."""
    if typed.lower() in IN_ORDER:
        return f"the options of the command: cutplan {typed.lower()} --help"
    close = nearest(typed, manual.TOPICS)
    if close:
        return close
    subjects = {heading.lower(): topic for topic in manual.TOPICS for heading in manual.headings(topic)}
    word = typed.lower()
    held = [topic for heading, topic in subjects.items() if word in heading]
    if held:
        return f"it is in: cutplan help {held[0]}"
    counts = {topic: manual.page(topic).lower().count(word) for topic in manual.TOPICS if topic not in _LISTS}
    most = max(counts, key=lambda topic: counts[topic])
    return f"most about it is in: cutplan help {most}" if counts[most] else ""


def _with_topics(text: str) -> str:
    """Links to other pages as the command that shows them."""
    return re.sub(r"\[([^\]]+)\]\((\w+)\.md\)", r"\1 (`cutplan help \2`)", text)


def _set_for_the_terminal(text: str) -> None:
    from rich.console import Console
    from rich.markdown import Markdown
    from rich.theme import Theme

    # In the colours of the terminal, dark or light: without a ground of its own behind commands.
    looks = Theme({"markdown.code": "bold", "markdown.code_block": "bold"})
    page = Markdown(re.sub(r"^```\w+$", "```text", text, flags=re.MULTILINE), code_theme="ansi_dark")
    Console(width=width(), theme=looks).print(page)
