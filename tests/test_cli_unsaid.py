"""What is not said is asked on a terminal, and refused elsewhere with the words to add: a table of every command that
writes to the ledger."""

from __future__ import annotations

import shutil
from pathlib import Path
from types import SimpleNamespace

import pytest
import typer

from cutplan.cli.commands import app
from cutplan.model import Plan
from tests.commands import run
from tests.sheets import PRINTING

PLAN = "reports/frame/plan.json"
FULL = ("--end-a", "mill", "--end-b", "mill")
SIX = "reports/six/plan.json"
"""Six A of 1200 on two bars."""
PLANNED = ("plan", "frame.csv")
"""Bar 1 is four A of 1200, bar 2 two B of 850."""

Case = tuple[tuple[tuple[str, ...], ...], tuple[str, ...], dict[str, str], str]
ASKED: dict[str, Case] = {
    # name: what was done before; the command; what is asked, with what is answered; what is added in place of it
    "rack take: how many of several": (
        (("rack", "add", "SHS 40x40x3", "6 m", "--quantity", "4", *FULL),),
        ("rack", "take", "A1"),
        {"A1, of which 4 lie there. How many, 1 to 4?": "3"},
        "--quantity 3",
    ),
    "rack scrap: how many of several": (
        (("rack", "add", "SHS 40x40x3", "6 m", "--quantity", "4", *FULL),),
        ("rack", "scrap", "A1"),
        {"A1, of which 4 lie there. How many, 1 to 4?": "4"},
        "--quantity 4",
    ),
    "rack correct: how many of several": (
        (("rack", "add", "SHS 40x40x3", "6 m", "--quantity", "4", *FULL),),
        ("rack", "correct", "A1", "--length", "5990"),
        {"A1, of which 4 lie there. How many, 1 to 4?": "4"},
        "--quantity 4",
    ),
    "rack return: what is left of it": (
        (("rack", "add", "SHS 40x40x3", "900"), ("rack", "take", "A1")),
        ("rack", "return", "A1"),
        {"A1, 900 mm when it was taken, and not what is left of it. What length of it is left, or whole?": "350"},
        "350",
    ),
    "rack return: it is as it was": (
        (("rack", "add", "SHS 40x40x3", "900"), ("rack", "take", "A1")),
        ("rack", "return", "A1"),
        {"A1, 900 mm when it was taken, and not what is left of it. What length of it is left, or whole?": "whole"},
        "whole",
    ),
    "job cut: which bar": (
        (("plan", "six.csv"),),
        ("job", "cut", SIX, "A"),
        {
            "A, of which 6 are not ticked as cut, on bars 1, 2. Which bar was it (1, 2)?": "2",
            "A, of which copies 3, 4, 5, 6 on bar 2 are not ticked as cut. Which copy was it (3, 4, 5, 6)?": "5",
        },
        "--bar 2 --copy 5",
    ),
    "job cut: which copy": (
        (PLANNED,),
        ("job", "cut", PLAN, "A"),
        {"A, of which copies 1, 2, 3, 4 on bar 1 are not ticked as cut. Which copy was it (1, 2, 3, 4)?": "1"},
        "--copy 1",
    ),
    "job uncut: which bar": (
        (("plan", "six.csv"), ("job", "cut", SIX, "A", "--copy", "1"), ("job", "cut", SIX, "A", "--copy", "5")),
        ("job", "uncut", SIX, "A"),
        {"A, of which 2 are ticked, on bars 1, 2. Which bar was it (1, 2)?": "1"},
        "--bar 1",
    ),
    "job spoiled: which copy, and what it came to": (
        (PLANNED,),
        ("job", "spoiled", PLAN, "A"),
        {
            "A, of which copies 1, 2, 3, 4 on bar 1 are not ticked as spoiled. Which copy was it (1, 2, 3, 4)?": "2",
            "A copy 2 on bar 1, and not what it came to. What length did it come to, 0 where it is scrap?": "0",
        },
        "--copy 2 --measured 0",
    ),
    "job ordered: at which merchant a number is": (
        (("plan", "two.csv"),),
        ("job", "ordered", "reports/two/plan.json", "--number", "7"),
        {"one number for orders at 2 merchants. Which merchant was it (Yard, Mill)?": "Mill"},
        "--merchant Mill",
    ),
    "record: whether parts that are not ticked are cut": (
        (PLANNED, ("job", "cut", PLAN, "--bar", "1")),
        ("record", PLAN),
        {"4 of 6 ticked. Are the others cut too (yes, no)?": "yes"},
        "--all",
    ),
    "replan: which bar, which copy, what it came to": (
        (PLANNED,),
        ("replan", PLAN, "--spoiled", "A"),
        {
            "A, of which bar 1 has copies 1, 2, 3, 4. Which copy was it (1, 2, 3, 4)?": "4",
            "A copy 4, and not what it came to. What length did it come to, 0 where it is scrap?": "1187",
        },
        "--copy 4 --measured 1187",
    ),
    "replan: what is usable of a bent bar": (
        (PLANNED,),
        ("replan", PLAN, "--bent", "1"),
        {"bar 1, and not what is usable of it. What length of it is usable, 0 for nothing?": "3800"},
        "--usable 3800",
    ),
}
"""``--json`` and whoever is no terminal are refused."""

REFUSED: dict[str, Case] = {
    # What takes more than an answer: the command, part of the refusal, and nothing to add.
    "replan: nothing said": ((PLANNED,), ("replan", PLAN), {}, "a cut record"),
    "job cut: no part": ((PLANNED,), ("job", "cut", PLAN), {}, "marks of parts, or --bar for all of a bar"),
    "job uncut: no part": ((PLANNED,), ("job", "uncut", PLAN), {}, "marks of parts, or --bar for all of a bar"),
    "job close: parts are still to be cut": ((PLANNED,), ("job", "close", PLAN), {}, "or --unfinished to close it"),
    "rack scrap: several marks, and several pieces of one": (
        (("rack", "add", "SHS 40x40x3", "900"), ("rack", "add", "SHS 40x40x3", "6 m", "--quantity", "4", *FULL)),
        ("rack", "scrap", "A1", "C1"),
        {},
        "C1 by itself, with --quantity",
    ),
    "record: what a spoiled part of a cut record came to": (
        (PLANNED,),
        ("record", PLAN, "--actual", "cut.csv"),
        {},
        "P3 = 0 where it is scrap",
    ),
    "rack release: of what": ((), ("rack", "release"), {}, "name a job with --job, or marks"),
    "rack count: to write or to read": ((), ("rack", "count", "B2"), {}, "give either --sheet"),
}

SAYS_ALL = {
    "receive": "all came as ordered, unless --given says otherwise",
    "rack add": "all that is left out is unknown, or the workshop's, and its help says which",
    "rack read": "the list says it",
    "rack move": "all that bear the mark lie there from now on",
    "rack restore": "the copy is named, and what is lost is listed",
    "undo": "the last thing done, which it names",
    "job drilled": "every copy, where none is named, and its help says so",
}
"""Commands that assume nothing beyond their own words."""

LOOKING = {
    "rack show",
    "rack write",
    "rack labels",
    "rack history",
    "rack old",
    "rack verify",
    "rack backup",
    "job list",
    "job show",
}


@pytest.fixture(autouse=True)
def workshop(parts: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The small list, one of six parts, and one whose plan buys from two merchants; nobody reads the sheets here."""
    assert parts == "frame.csv"
    for name in PRINTING:
        monkeypatch.setattr(name, lambda job, plan, path, *_, **__: path.touch())
    with Path("prices.csv").open("a") as prices:
        prices.write("Mill,FL 50x6,6000,12,each\n")
    Path("two.csv").write_text("Mark,Quantity,Section,Length\nA,4,SHS 40x40x3,1200\nF,2,FL 50x6,500\n")
    Path("six.csv").write_text("Mark,Quantity,Section,Length\nA,6,SHS 40x40x3,1200\n")
    Path("cut.csv").write_text("Bar,Cut,Spoiled parts\n1,yes,A\n2,yes,\n")


def begun(before: tuple[tuple[str, ...], ...], once_planned: tuple[Path, Plan]) -> None:
    for words in before:
        if words == before[0] == PLANNED:
            shutil.copytree(once_planned[0] / "reports", "reports")
        else:
            assert run(*words).exit_code == 0, words


def test_every_command_is_in_the_table() -> None:
    known = {name.split(":")[0] for name in (*ASKED, *REFUSED)} | set(SAYS_ALL) | LOOKING
    rooms = {group.name: group.typer_instance for group in app.registered_groups if group.name in ("rack", "job")}
    there = {f"{room} {each.name}" for room, commands in rooms.items() for each in commands.registered_commands}  # type: ignore[union-attr]
    assert known == there | {"receive", "record", "replan", "undo"}


@pytest.mark.parametrize("case", [*ASKED, *REFUSED])
def test_refused_with_the_words_to_add(case: str, once_planned: tuple[Path, Plan]) -> None:
    before, words, asked, added = {**ASKED, **REFUSED}[case]
    begun(before, once_planned)
    ledger = Path("rack.ledger").read_bytes() if Path("rack.ledger").exists() else b""
    refused = run(*words)
    assert refused.exit_code in (1, 2)
    assert (Path("rack.ledger").read_bytes() if Path("rack.ledger").exists() else b"") == ledger
    if case in REFUSED:
        assert added in " ".join(refused.stderr.replace("│", " ").split())
        return
    (option, *_), question = added.split(), next(iter(asked)).split(". ")[0]
    assert question in refused.stderr
    assert (option if option.startswith("-") else "its length, or whole") in refused.stderr
    done = run(*words, *added.split())
    assert done.exit_code == 0, done.output


@pytest.mark.parametrize("case", ASKED)
def test_asked_on_a_terminal(case: str, once_planned: tuple[Path, Plan], monkeypatch: pytest.MonkeyPatch) -> None:
    before, words, asked, added = ASKED[case]
    begun(before, once_planned)
    terminal = SimpleNamespace(stdin=SimpleNamespace(isatty=lambda: True))
    monkeypatch.setattr("cutplan.cli.questions.sys", terminal)
    questions: list[str] = []

    def prompt(question: str, *, err: bool) -> str:
        assert err
        questions.append(question)
        return asked[question]

    monkeypatch.setattr(typer, "prompt", prompt)
    assert run(*words, "--json").exit_code == 1, "who wants JSON is not asked"
    answered = run(*words)
    assert answered.exit_code == 0, answered.output
    assert questions == list(asked)
    run("undo")
    Path("rack-prices.csv").unlink(missing_ok=True)  # prices are kept beside the ledger, where no undo reaches
    again = run(*words, *added.split(), *(("--out", "again") if words[0] == "replan" else ()))
    assert again.exit_code == 0, again.output
    first, second = ([line for line in one.stdout.splitlines() if "egun" not in line] for one in (answered, again))
    assert first[:2] == second[:2]
