"""README is held to what the program is: its commands run, its tables are the program's own, its defaults are true."""

from __future__ import annotations

import os
import re
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
from cutplan.model import Basis, Workshop
from cutplan.model.job import POUNDS_IN
from cutplan.reading import cut_record, headings, workshop_keys
from cutplan.sections.section import Family
from tests.input_files import read_workshop

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")

COMMAND_TABLES = ("## What it does", "## The rack")


def blocks(language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)


def fresh_machine_commands() -> list[str]:
    return [line for block in blocks("sh") for line in block.splitlines() if line.startswith("python3 -m venv")]


def table_below(heading: str) -> list[list[str]]:
    """Cells of the first table below a heading of README, its header left out."""
    below = README.split(f"\n{heading}\n", 1)[1]
    lines = re.search(r"(?:^\|.*\n)+", below, re.MULTILINE)
    assert lines, heading
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines[0].splitlines()[2:]]


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The samples in a folder of their own, to run README's commands in."""
    place = tmp_path_factory.mktemp("readme")
    shutil.copytree(ROOT / "inputs", place / "inputs")
    return place


def shell(command: str, place: Path) -> subprocess.CompletedProcess[str]:
    path = f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}"
    return subprocess.run(
        ["bash", "-euc", command],
        cwd=place,
        env={**os.environ, "PATH": path},
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.parametrize("block", [block for block in blocks("sh") if "venv" not in block])
def test_commands_run_as_printed(block: str, copy: Path) -> None:
    done = shell(block, copy)
    assert done.returncode == 0, done.stdout + done.stderr
    assert done.stdout


@pytest.mark.parametrize("block", blocks("python"))
def test_library_example_runs(block: str, copy: Path) -> None:
    done = subprocess.run([sys.executable, "-c", block], cwd=copy, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert done.stdout


def test_the_gate_runs_exactly_the_two_commands() -> None:
    gate = (ROOT / ".ci/run").read_text(encoding="utf-8").splitlines()
    set_up, tests = fresh_machine_commands()
    assert set_up in gate
    assert f"{tests} | tee tests.log" in gate


def test_pinned_releases_name_no_host() -> None:
    lines = (ROOT / ".ci/constraints.txt").read_text(encoding="utf-8").splitlines()
    assert all(re.fullmatch(r"#.*|[A-Za-z0-9_.-]+==[0-9][0-9a-z.]*", line) for line in lines)


def commands() -> Iterator[tuple[str, Any]]:
    group: Any = typer.main.get_command(app)
    yield "", group
    for name, command in group.commands.items():
        inner = getattr(command, "commands", {})
        yield from ((f"{name} {word}", each) for word, each in inner.items())
        if not inner:
            yield name, command


def options_of(command: Any) -> set[str]:
    return {word for parameter in command.params for word in parameter.opts if word.startswith("--")} | {"--help"}


def test_every_command_and_option_is_told_and_exists() -> None:
    told_commands = {row[0].strip("`") for title in COMMAND_TABLES for row in table_below(title)}
    assert told_commands == {name for name, _ in commands() if name}
    rows = re.findall(r"^\| ((?:`--[^|]*)) \| ([^|]*) \|", README, re.MULTILINE)
    told: dict[str, set[str]] = defaultdict(set)
    for cell, where in rows:
        for word in re.findall(r"--[a-z-]+", cell):
            told[word] |= set(where.strip().split(", "))
    for name, command in commands():
        for word in options_of(command) - {"--help"}:
            assert word in told, f"{name} {word}"
            if name:
                assert told[word] & {"all", name, name.split()[0]}, f"{name} {word}"
    assert set(told) == set().union(*(options_of(command) for _, command in commands()))


def test_every_option_has_help_text() -> None:
    for name, command in commands():
        assert command.help, name
        for parameter in command.params:
            assert getattr(parameter, "help", None), f"{name} {parameter.name}"


def test_every_exit_code_is_told() -> None:
    rows = re.findall(r"^\| (\d+) \| ", README, re.MULTILINE)
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


@pytest.mark.parametrize(
    ("title", "known"),
    [
        ("### Parts list", headings.PARTS),
        ("### Price list", headings.PRICES),
        ("### Rack file", headings.RACK),
        ("### When a cut goes wrong", cut_record.CUT_RECORD),
    ],
)
def test_columns_are_those_the_reader_knows(title: str, known: tuple[headings.Heading, ...]) -> None:
    told = table_below(title)
    assert told == [
        [heading.name, "yes" if heading.needed else "", ", ".join(heading.variants), heading.about] for heading in known
    ]


def tables_below(heading: str) -> list[list[list[str]]]:
    """Cells of every table below a heading of README, up to the next heading; the headers left out."""
    below = README.split(f"\n{heading}\n", 1)[1].split("\n#", 1)[0]
    tables = re.findall(r"(?:^\|.*\n)+", below, re.MULTILINE)
    return [
        [[cell.strip() for cell in line.strip("|").split("|")] for line in table.splitlines()[2:]] for table in tables
    ]


def test_lengths_and_angles_told_are_read() -> None:
    lengths, angles, _ = tables_below("### Lengths, angles, prices")
    for typed, millimetres in lengths:
        for text in re.findall("`([^`]+)`", typed):
            assert units.mm_text(units.parse_length(text)) == millimetres, text
    for typed, degrees in angles:
        for text in re.findall("`([^`]+)`", typed):
            assert units.angle_text(units.parse_angle(text)) == degrees, text


def test_price_bases_told_are_read_and_weigh_what_is_told() -> None:
    bases = tables_below("### Lengths, angles, prices")[2]
    assert {row[0] for row in bases} == {basis.value for basis in Basis}
    for name, variants, weight in bases:
        for text in (name, *re.findall("`([^`]+)`", variants)):
            assert headings.read_basis(text).value == name
        if weight.endswith(" kg") and Basis(name) in POUNDS_IN:
            assert Fraction(weight.removesuffix(" kg")) == POUNDS_IN[Basis(name)] * units.POUND_IN_KG


def workshop_rows() -> list[tuple[str, str]]:
    return [(row[0].strip("`"), row[1]) for row in table_below("### Workshop file")]


def test_workshop_keys_are_those_the_reader_knows() -> None:
    told = [
        key.replace("<family>", family.value)
        for key, _ in workshop_rows()
        for family in (list(Family) if "<family>" in key else [Family.SHS])
    ]
    assert sorted(told) == sorted(workshop_keys.KEYS)


def test_sample_workshop_has_every_key() -> None:
    document = tomllib.loads((ROOT / "inputs/workshop.toml").read_text(encoding="utf-8"))
    blocks = {table: document.pop(table) for table in ("merchant", "material", "section")}
    keys = {f"{table}.{key}" for table, values in document.items() for key in values}
    keys |= {f"{table}.{key}" for table, found in blocks.items() for block in found for key in block}
    assert keys == set(workshop_keys.KEYS)


def test_defaults_told_are_the_defaults(tmp_path: Path) -> None:
    lines = []
    for key, default in workshop_rows():
        table, name = key.split(".")
        if table in ("merchant", "material", "section") or not default:
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
    for family in Family:
        assert told.keep_length(family) == true.keep_length(family)
        assert told.standard(family) == true.standard(family)
        assert told.offcut_value(family) == true.offcut_value(family)
        assert told.counted_on(family, 10) == true.counted_on(family, 10)


def test_changes_come_last_and_begin_with_what_is_not_released() -> None:
    titles = re.findall(r"^##+ (.*)$", README, re.MULTILINE)
    assert titles[-2:] == ["Changes", "Unreleased"] or "Unreleased" in titles[titles.index("Changes") + 1]
