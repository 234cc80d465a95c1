"""README and the manual are held to what the program is: their commands run, their tables and defaults are true."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys
import tomllib
from collections import defaultdict
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import typer

from cutplan import units
from cutplan.cli import process
from cutplan.cli.commands import app
from cutplan.manual import TOPICS
from cutplan.model import Basis, Workshop
from cutplan.model.stock_length import POUNDS_IN
from cutplan.reading.sheets import headings
from cutplan.reading.workshop import workshop_keys
from cutplan.reading.workshop.rack_rules import RackRules
from cutplan.sections.section import Family
from tests import sample_workshop
from tests.effort import some
from tests.input_files import read_workshop
from tests.manual_pages import MANUAL, PAGES, README, ROOT, blocks, table_below, tables_below
from tests.manual_tables import all_commands, renewed

SAMPLES = (ROOT / "inputs/README.md").read_text(encoding="utf-8")
TEXTS = {"README": README, "samples": SAMPLES, **PAGES}


def options_of(command: Any) -> set[str]:
    return {word for parameter in command.params for word in parameter.opts if word.startswith("--")} | {"--help"}


COMMAND_TABLES = ("## Commands", "## Commands of the rack")


def fresh_machine_commands() -> list[str]:
    return [line for block in blocks(README, "sh") for line in block.splitlines() if line.startswith("python3 -m venv")]


def place_for(name: str, folder: Path) -> Path:
    """Where the commands of a page run: beside the samples, but for the tour of README, which begins with nothing."""
    place = folder / name
    place.mkdir()
    if name != "README":
        shutil.copytree(ROOT / "inputs", place / "inputs")
    return place


def shell(command: str, place: Path) -> subprocess.CompletedProcess[str]:
    path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
    return subprocess.run(
        ["bash", "-euc", command],
        cwd=place,
        env={**os.environ, "PATH": path, "COLUMNS": "100"},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        check=False,
    )


@pytest.mark.thorough
@pytest.mark.parametrize("name", some((name for name, text in TEXTS.items() if blocks(text, "sh")), "README"))
def test_commands_run_as_printed(name: str, tmp_path: Path) -> None:
    """Every block of a page in order, in one folder, and what it is said to print is printed."""
    place = place_for(name, tmp_path)
    for block, printed in re.findall(
        r"^```sh\n(.*?)^```$(?:\n\n```text\n(.*?)^```$)?", TEXTS[name], re.MULTILINE | re.DOTALL
    ):
        if "venv" in block:
            continue
        done = shell(block, place)
        assert done.returncode == 0, done.stdout
        assert done.stdout
        lines = iter(done.stdout.splitlines())
        for line in printed.splitlines():
            assert line == "..." or line in lines, f"{line}\n-- is not printed, or not there --\n{done.stdout}"


CELLS = re.findall(r"^```python\n(.*?)^```$(?:\n\n```text\n(.*?)^```$)?", PAGES["library"], re.MULTILINE | re.DOTALL)
"""Blocks of the page for those who go on from Python, each with what it is said to print."""


@pytest.mark.parametrize("cells", some([CELLS[:1], CELLS], CELLS[:1]))
def test_the_library_page_runs_as_printed(
    cells: list[tuple[str, str]], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each block goes on from those before it, and prints what stands below it, to the line."""
    shutil.copytree(ROOT / "inputs", tmp_path / "inputs")
    monkeypatch.chdir(tmp_path)
    names = {"__name__": "__main__"}
    for code, printed in cells:
        exec(compile(code, "library.md", "exec"), names)
        found = "".join(f"{line.rstrip()}\n" for line in capsys.readouterr().out.splitlines())
        assert found
        assert not printed or found == printed


@pytest.mark.parametrize("block", blocks(PAGES["workshop"], "toml"))
def test_the_workshop_file_shown_is_read(block: str, tmp_path: Path) -> None:
    path = tmp_path / "workshop.toml"
    path.write_text(block, encoding="utf-8")
    _, problems = read_workshop(path)
    assert problems == []


def test_the_gate_runs_exactly_the_two_commands() -> None:
    gate = (ROOT / ".ci/run").read_text(encoding="utf-8").splitlines()
    set_up, tests = fresh_machine_commands()
    assert set_up in gate
    assert f"{tests} | tee tests.log" in gate


def test_pinned_releases_name_no_host() -> None:
    lines = (ROOT / ".ci/constraints.txt").read_text(encoding="utf-8").splitlines()
    assert all(re.fullmatch(r"#.*|[A-Za-z0-9_.-]+==[0-9][0-9a-z.]*", line) for line in lines)


def test_the_lowest_releases_are_those_that_are_allowed() -> None:
    """Compared by numbers, for 9.11 allows 9.11.4210; of the lowest series the first that there is."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    extras = [each for extra, needed in project["optional-dependencies"].items() if extra != "test" for each in needed]
    allowed = dict(each.split(">=") for each in [*project["dependencies"], *extras])
    lines = (ROOT / ".ci/lowest.txt").read_text(encoding="utf-8").splitlines()
    tried = dict(line.split("==") for line in lines if not line.startswith("#"))
    assert tried.keys() == allowed.keys()
    for name, bound in allowed.items():
        assert f"{tried[name]}.".startswith(f"{bound}."), name


def test_the_newest_of_the_changes_is_this_version() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    released = re.findall(r"^## (\d+\.\d+\.\d+),", PAGES["changes"], re.MULTILINE)
    assert released[0] == project["version"]


def test_every_command_and_option_is_listed_and_exists() -> None:
    known = dict(all_commands())
    rows = [row for title in COMMAND_TABLES for row in table_below("commands", title)]
    assert {re.sub(r" [A-Z[].*", "", row[0].strip("`")) for row in rows} == set(known)
    listed: dict[str, set[str]] = defaultdict(set)
    for option, names, _ in table_below("commands", "## Options"):
        all_of_them, but, others = names.partition(" but ")
        named = set(known) - set(others.split(" and ")) if but and all_of_them == "all" else set(names.split(", "))
        listed[option.strip("`").split()[0]] |= named
    for name, command in known.items():
        for word in options_of(command):
            assert listed[word] & {"all", name, name.split()[0]}, f"{name} {word}"
    assert set(listed) == set().union(*map(options_of, [*known.values(), typer.main.get_command(app)]))


def commands_shown(text: str) -> Iterator[str]:
    """Every command in a line of a block or between backticks within a sentence."""
    for block in blocks(text, "sh"):
        yield from (line for line in block.splitlines() if line.startswith("cutplan "))
    yield from re.findall("`(cutplan [^`]+)`", re.sub("^```.*?^```", "", text, flags=re.MULTILINE | re.DOTALL))


@pytest.mark.parametrize("name", [*TEXTS, "DEVELOPERS"])
def test_commands_shown_exist_with_their_options(name: str) -> None:
    known = dict(all_commands())
    text = TEXTS[name] if name in TEXTS else (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    for shown in commands_shown(text):
        _, *words = shlex.split(shown.split(" || ")[0].split(" > ")[0])
        named = words[0] if words[0] in known else " ".join(words[:2])
        assert named in known or words[0] in ("--help", "COMMAND", "rack"), shown
        if named in known:
            assert {word for word in words if word.startswith("--")} <= options_of(known[named]), shown


def test_every_option_has_help_text() -> None:
    for name, command in all_commands():
        assert command.help, name
        for parameter in command.params:
            assert getattr(parameter, "help", None), f"{name} {parameter.name}"


def test_every_exit_code_is_told() -> None:
    rows = [row[0] for row in table_below("messages", "# Exit codes and messages")]
    codes = (
        process.BAD_INPUT,
        process.NO_PLAN,
        process.CHECK_REFUSED,
        process.STOPPED_WITH_PLAN,
        process.PROGRAM_FAULT,
        process.STOPPED,
    )
    usage = 2
    assert sorted(map(int, rows)) == sorted((process.DONE, usage, *codes))


def test_lengths_and_angles_told_are_read() -> None:
    lengths, angles = tables_below("lengths", "# Lengths and angles")
    for typed, millimetres in lengths:
        for text in re.findall("`([^`]+)`", typed):
            assert units.mm_text(units.parse_length(text)) == millimetres, text
    for typed, degrees in angles:
        for text in re.findall("`([^`]+)`", typed):
            assert units.angle_text(units.parse_angle(text)) == degrees, text


def test_price_bases_told_are_read_and_weigh_what_is_told() -> None:
    bases = tables_below("prices", "# The price list")[1]
    assert {row[0] for row in bases} == {basis.value for basis in Basis}
    for name, variants, weight in bases:
        for text in (name, *re.findall("`([^`]+)`", variants)):
            assert headings.read_basis(text).value == name
        if weight.endswith(" kg") and Basis(name) in POUNDS_IN:
            assert Fraction(weight.removesuffix(" kg")) == POUNDS_IN[Basis(name)] * units.POUND_IN_KG


def workshop_rows() -> list[tuple[str, str]]:
    return [(row[0].strip("`"), row[1]) for row in table_below("workshop", "# The workshop file")]


def test_workshop_keys_are_those_the_reader_knows() -> None:
    told = [
        key.replace("<family>", family.value)
        for key, _ in workshop_rows()
        for family in (list(Family) if "<family>" in key else [Family.SHS])
    ]
    of_saws = workshop_keys.BLOCKS[workshop_keys.SAWS]
    typed = {*workshop_keys.KEYS} - {key.name for key in of_saws.values()} | {f"saw.{word}" for word in of_saws}
    assert sorted(told) == sorted(typed)


def test_sample_workshop_says_what_the_keys_declare() -> None:
    text = sample_workshop.SAMPLE.read_text(encoding="utf-8")
    assert sample_workshop.renewed(text) == text, "python -m tests.sample_workshop renews it"


def test_sample_workshop_has_every_key() -> None:
    document = tomllib.loads((ROOT / "inputs/workshop.toml").read_text(encoding="utf-8"))
    blocks = {table: document.pop(table) for table in ("merchant", "coat", "material", "section")}
    keys = {f"{table}.{key}" for table, values in document.items() for key in values}
    keys |= {f"{table}.{key}" for table, found in blocks.items() for block in found for key in block}
    # Blocks [[saw]] stand in place of the table of one saw, never beside it.
    of_saws = workshop_keys.BLOCKS[workshop_keys.SAWS].values()
    assert keys == {*workshop_keys.KEYS} - {key.name for key in of_saws}


def test_defaults_told_are_the_defaults(tmp_path: Path) -> None:
    lines = []
    for key, default in workshop_rows():
        table, name = key.split(".")
        in_a_block = key not in workshop_keys.SETTINGS and "<family>" not in key
        if in_a_block or not default:
            continue
        for value, families in re.findall(r"`([^`]*)`([^;]*)", default):
            names = re.findall("[A-Z]+", families) or [family.value for family in Family]
            for word in names if "<family>" in name else [name]:
                lines.append(f"{table}.{word if '<family>' in name else name} = {value}")
    path = tmp_path / "workshop.toml"
    path.write_text("\n".join(lines))
    shop, problems = read_workshop(path)
    told = shop.workshop
    assert problems == []
    true = Workshop()
    for setting in (
        *("name", "unit", "currency", "tax_millionths", "prices_include_tax", "saw"),
        *(
            "longest_carry",
            "heavy",
            "paper",
            "labels",
            "default_finish",
            "mitre_length",
            "gauge",
            "density",
            "printing",
        ),
    ):
        assert getattr(told, setting) == getattr(true, setting), setting
    assert shop.rules == RackRules()
    for family in Family:
        assert told.keep_length(family) == true.keep_length(family)
        assert told.standard(family) == true.standard(family)
        assert told.offcut_value(family) == true.offcut_value(family)
        assert told.counted_on(family, 10) == true.counted_on(family, 10)


def test_changes_begin_with_what_is_not_released() -> None:
    title, first, *released = re.findall(r"^#+ (.*)$", PAGES["changes"], re.MULTILINE)
    assert (title, first) == ("Changes by version", "Unreleased")
    assert all(re.fullmatch(r"\d+\.\d+\.\d+, \d{4}-\d{2}-\d{2}", each) for each in released)


@pytest.mark.parametrize("topic", PAGES)
def test_tables_are_those_of_today(topic: str) -> None:
    assert PAGES[topic] == renewed(PAGES[topic]), "renew it: python -m tests.manual_tables"


def test_readme_stays_short_and_names_every_page() -> None:
    assert len(README.splitlines()) <= 220
    rows = re.findall(r"^\| \[(\w+)\]\(cutplan/manual/(\w+)\.md\) \| (.*) \|$", README, re.MULTILINE)
    assert [(name, about) for name, file, about in rows if name == file] == list(TOPICS.items())


@pytest.mark.parametrize("name", TEXTS)
def test_links_lead_somewhere(name: str) -> None:
    place = {"README": ROOT, "samples": ROOT / "inputs"}.get(name, MANUAL)
    for target in re.findall(r"\]\(([^)]+)\)", re.sub("`[^`]*`", "", TEXTS[name])):
        assert (place / target).is_file(), target
