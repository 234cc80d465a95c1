"""``cutplan help`` lists the pages of the manual, shows one, and leads from another word to the nearest."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from contextlib import suppress
from pathlib import Path

import pytest

from cutplan.manual import TOPICS, page
from tests.commands import document, run


def test_topics_are_listed_with_a_line_each() -> None:
    told = run("help").stdout
    for topic, about in TOPICS.items():
        assert f"  {topic:<9}  {about}\n" in told
    assert document(run("help", "--json"))["topics"][0] == {"topic": "parts", "about": TOPICS["parts"]}


@pytest.mark.parametrize("topic", TOPICS)
def test_a_page_is_printed_as_plain_text(topic: str) -> None:
    told = run("help", topic)
    assert told.exit_code == 0
    assert told.stdout.startswith(page(topic).split("\n", 1)[0] + "\n")
    assert "\x1b" not in told.stdout
    assert "<!--" not in told.stdout
    assert ".md)" not in told.stdout


def test_links_become_commands() -> None:
    assert "Within reason (`cutplan help limits`)" in run("help", "changes").stdout


def test_json_has_the_page_as_markdown() -> None:
    told = document(run("help", " Rack ", "--json"))
    assert told == {"topic": "rack", "about": TOPICS["rack"], "text": page("rack")}


@pytest.mark.parametrize(
    ("typed", "hint"),
    [
        ("wrokshop", 'did you mean "workshop"?'),
        ("spelling", "it is in: cutplan help sections"),
        ("kerf", "most about it is in: cutplan help cuts"),
        ("compare", "the options of the command: cutplan compare --help"),
    ],
)
def test_another_word_leads_to_the_nearest_page(typed: str, hint: str) -> None:
    refused = run("help", typed)
    assert refused.exit_code == 1
    assert refused.stderr.endswith(f"hint: {hint}\n")
    assert refused.stdout == ""
    told = document(run("help", typed, "--json"))["problems"]
    assert [(problem["found"], problem["hint"]) for problem in told] == [(typed, hint)]


def test_a_word_that_stands_nowhere_gets_no_hint() -> None:
    assert "hint" not in run("help", "qqq").stderr


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no pseudo-terminals of this kind")
def test_on_a_terminal_tables_are_drawn_within_its_width() -> None:
    import pty

    ours, theirs = pty.openpty()
    settings = {**os.environ, "COLUMNS": "72", "TERM": "xterm", "NO_COLOR": "1"}
    program = str(Path(sys.executable).with_name("cutplan"))
    running = subprocess.Popen([program, "help", "prices"], stdout=theirs, stderr=theirs, env=settings)
    os.close(theirs)
    shown = b""
    with suppress(OSError):  # the other side is closed: all has been read
        while part := os.read(ours, 65536):
            shown += part
    os.close(ours)
    lines = re.sub(r"\x1b\[[\d;]*m", "", shown.decode()).splitlines()
    assert running.wait() == 0
    assert max(map(len, lines)) <= 72
    assert not any(line.startswith("|") for line in lines)
    assert any(re.match(r" *Merchant +yes +supplier,", line) for line in lines)
