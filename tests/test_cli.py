"""Every command by its words: what goes to stdout and to stderr, JSON, and each exit code."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from cutplan import actions, cli
from cutplan.problems import NoPlan

PARTS = "Mark,Quantity,Section,Length\nA,4,SHS 40x40x3,1200\nB,2,SHS 40x40x3,850\n"
PRICES = "Merchant,Section,Length,Price,Per\nYard,SHS 40x40x3,6000,35.40,each\nYard,SHS 40x40x3,3000,19.80,each\n"


@pytest.fixture
def parts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A small list with its price list and workshop file, in the folder the commands are run in."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "frame.csv").write_text(PARTS)
    (tmp_path / "prices.csv").write_text(PRICES)
    (tmp_path / "workshop.toml").write_text('[files]\nprices = "prices.csv"\n')
    return "frame.csv"


def run(*words: str) -> Result:
    return CliRunner().invoke(cli.app, list(words))


def document(result: Result) -> dict[str, Any]:
    loaded = json.loads(result.stdout)
    assert isinstance(loaded, dict)
    return loaded


def test_plan_writes_and_prints(parts: str, tmp_path: Path) -> None:
    result = run("plan", parts)
    assert result.exit_code == 0, result.output
    files = sorted(path.name for path in (tmp_path / "reports/frame").iterdir())
    assert files == ["plan.json", "plan.xlsx"]
    assert "Yard" in result.stdout
    assert "6500" in result.stdout or "proven" in result.stdout
    assert "Written: " in result.stderr
    assert "Written: " not in result.stdout


def test_plan_as_json_is_the_plan_file(parts: str, tmp_path: Path) -> None:
    result = run("plan", parts, "--json", "--out", "elsewhere")
    assert result.exit_code == 0, result.output
    assert document(result) == json.loads((tmp_path / "elsewhere/plan.json").read_text(encoding="utf-8"))


def test_files_can_be_named(parts: str, tmp_path: Path) -> None:
    (tmp_path / "other").mkdir()
    for name in ("prices.csv", "workshop.toml"):
        (tmp_path / name).rename(tmp_path / "other" / name)
    (tmp_path / "other/rack.csv").write_text("Mark,Section,Length\nR1,SHS 40x40x3,1250\n")
    result = run(
        "plan", parts, "--workshop", "other/workshop.toml", "--prices", "other/prices.csv", "--rack", "other/rack.csv"
    )
    assert result.exit_code == 0, result.output
    plan = json.loads((tmp_path / "reports/frame/plan.json").read_text(encoding="utf-8"))
    assert "R1" in json.dumps(plan)


def test_one_stock_length_is_enough(parts: str, tmp_path: Path) -> None:
    (tmp_path / "workshop.toml").unlink()
    result = run("plan", parts, "--stock", "SHS 40x40x3: 6000", "--stock", "SHS 40x40x3: 3000")
    assert result.exit_code == 0, result.output


@pytest.mark.parametrize("as_json", [False, True])
def test_check_reports_and_writes_nothing(as_json: bool, parts: str, tmp_path: Path) -> None:
    before = sorted(tmp_path.rglob("*"))
    result = run("check", parts, *(["--json"] if as_json else []))
    assert result.exit_code == 0, result.output
    assert sorted(tmp_path.rglob("*")) == before
    if as_json:
        (group,) = document(result)["groups"]
        assert (group["lines"], group["pieces"], group["length_mm"], group["offers"]) == (2, 6, "6500", 2)
    else:
        assert "frame: 2 lines, 6 parts, 1 group\n" in result.stdout
        assert "6 parts, 6.5 m, 21.5 kg" in result.stdout
        assert "to cut it from: 2 stock lengths, 0 offcuts" in result.stdout


def test_compare_in_words_and_as_json(parts: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "100")
    # Six parts of 6,500 mm in all: one bar of 6 m and one of 3 m cost 55.20; a bar of 7 m at 30.00 holds them all.
    (tmp_path / "long.csv").write_text("Merchant,Section,Length,Price,Per\nFar,SHS 40x40x3,7000,30,each\n")
    words = ["compare", parts, "--also", "long.csv", "--kerf", "1 mm", "--keep", "100 mm", "--no-rack"]
    result = run(*words)
    assert result.exit_code == 0, result.output
    table = {line[:34].strip(): line[34:].split() for line in result.stdout.splitlines()}
    assert table["as it is"][:2] == ["55.20", "0.00"]
    assert table["a kerf of 1 mm"][:2] == ["55.20", "0.00"]
    assert table["the offers of long.csv too"][:2] == ["30.00", "-25.20"]
    rows = document(run(*words, "--json", "--out", "rows"))["rows"]
    assert [row["difference_most"] for row in rows] == ["0", "0", "0", "0", "-25.2"]
    assert {row["status"] for row in rows} == {"proven, rechecked"}
    assert sorted(path.name for path in (tmp_path / "rows").iterdir()) == ["0", "1", "2", "3", "4"]
    assert run("verify", "rows/4/plan.json").exit_code == 0


def test_compare_refuses_all_that_is_wrong_at_once(parts: str, tmp_path: Path) -> None:
    (tmp_path / "bad.csv").write_text("Merchant,Section,Length,Price,Per\nFar,SHS 40x40x3,-1,30,each\n")
    result = run("compare", parts, "--kerf", "1,5", "--without", "Yrd", "--also", "bad.csv", "--out", "rows")
    assert result.exit_code == 1
    for text in ('--kerf: found "1,5".', '--without: found "Yrd".', "bad.csv, row 2, column C"):
        assert text in result.stderr
    assert not (tmp_path / "rows").exists()


def test_compare_says_where_a_change_leaves_no_plan(parts: str) -> None:
    result = run("compare", parts, "--without", "yard")
    assert result.exit_code == 0, result.output
    assert "nothing from Yard" in result.stdout
    assert "no plan" in result.stdout


def test_compare_ends_after_a_stop(parts: str, monkeypatch: pytest.MonkeyPatch) -> None:
    whole = actions.plan
    monkeypatch.setattr(actions, "plan", lambda job, **_: replace(whole(job), stopped_by="user"))
    result = run("compare", parts, "--kerf", "1 mm")
    assert result.exit_code == 5
    assert "stopped by: user" in result.stdout
    assert "a kerf of 1 mm" not in result.stdout


def test_section_in_words(parts: str) -> None:
    result = run("section", "40 x 40 x 3.0 SHS", "--length", "6.5 m")
    assert result.exit_code == 0, result.output
    assert "SHS 40x40x3 (square hollow section) to EN 10219-2" in result.stdout
    assert "420.8 mm2" in result.stdout
    assert "3.303 kg/m at 7850 kg/m3" in result.stdout
    assert "weighs 21.47 kg" in result.stdout
    assert "source" in result.stdout
    assert "not in the size lists" not in result.stdout


def test_section_to_another_standard_and_not_listed(parts: str) -> None:
    hot = document(run("section", "SHS 40x40x3", "--standard", "EN 10210-2", "--json"))
    assert hot["standard"] == "EN 10210-2"
    odd = run("section", "SHS 41x41x3")
    assert odd.exit_code == 0, odd.output
    assert "not in the size lists here for this standard" in odd.stdout


@pytest.mark.parametrize(
    ("words", "where"), [(["SHS 30x30"], "section"), (["SHS 40x40x3", "--length", "1,200"], "--length")]
)
def test_section_refused(words: list[str], where: str, parts: str) -> None:
    result = run("section", *words, "--json")
    assert result.exit_code == 1
    (problem,) = document(result)["problems"]
    assert problem["where"] == where
    assert set(problem) == {"where", "found", "accepted", "hint"}


def test_bad_input_in_words_and_as_json(parts: str, tmp_path: Path) -> None:
    (tmp_path / parts).write_text(PARTS.replace("1200", '"1,200"').replace("B,2", "B,2.5"))
    words = run("plan", parts)
    assert words.exit_code == 1
    assert words.stdout == ""
    assert 'found "1,200"' in words.stderr
    assert 'found "2.5"' in words.stderr
    as_json = run("plan", parts, "--json")
    assert as_json.exit_code == 1
    assert [problem["found"] for problem in document(as_json)["problems"]] == ["1,200", "2.5"] or len(
        document(as_json)["problems"]
    ) == 2
    assert not (tmp_path / "reports").exists()


@pytest.mark.parametrize(
    "words", [[], ["plan"], ["plan", "x.csv", "--colour"], ["cut"], ["plan", "x", "--time-limit", "0"]]
)
def test_wrong_usage(words: list[str]) -> None:
    assert run(*words).exit_code == 2


def test_no_plan_possible(parts: str, monkeypatch: pytest.MonkeyPatch) -> None:
    from cutplan import buying

    def none(*_: object, **__: object) -> None:
        raise NoPlan("B12 needs 7320 mm; the longest bar gives 5980 mm")

    monkeypatch.setattr(buying, "plan_job", none)
    words = run("plan", parts)
    assert (words.exit_code, words.stdout) == (3, "")
    assert words.stderr == "B12 needs 7320 mm; the longest bar gives 5980 mm\n"
    assert document(run("plan", parts, "--json"))["problems"][0]["found"].startswith("B12")


def test_too_few_bars_to_be_had(parts: str, tmp_path: Path) -> None:
    (tmp_path / "prices.csv").write_text(
        "Merchant,Section,Length,Price,Per,Available\nYard,SHS 40x40x3,3000,19.80,each,2\n"
    )
    result = run("plan", parts)
    assert result.exit_code == 3, result.output
    assert "SHS 40x40x3" in result.stderr
    assert not (tmp_path / "reports").exists()


def test_verify_and_a_tampered_plan(parts: str, tmp_path: Path) -> None:
    assert run("plan", parts).exit_code == 0
    path = tmp_path / "reports/frame/plan.json"
    assert "holds" in run("verify", str(path)).stdout
    sound = document(run("verify", str(path), "--json"))
    assert (sound["holds"], sound["failures"]) == (True, [])
    assert sound["findings"]
    assert "6 parts" in sound["rechecked"]
    plan = json.loads(path.read_text(encoding="utf-8"))
    cut = plan["groups"][0]["bars"][0]["cuts"][0]
    cut["end"] = f"{cut['end']}.000001"
    path.write_text(json.dumps(plan), encoding="utf-8")
    result = run("verify", str(path))
    assert result.exit_code == 4, result.output
    assert "does not hold" in result.stdout
    as_json = run("verify", str(path), "--json")
    assert as_json.exit_code == 4
    assert document(as_json)["holds"] is False
    assert document(as_json)["failures"]
    path.write_text(json.dumps({**plan, "job": {**plan["job"], "name": "\x1b[31m" + "x" * 5000}}), encoding="utf-8")
    steered = run("verify", str(path)).stdout
    assert "\x1b" not in steered
    assert len(steered) < 2500


@pytest.mark.parametrize("text", ["", "{}", "not json", '{"schema": 999}'])
def test_verify_of_something_else(text: str, tmp_path: Path) -> None:
    path = tmp_path / "plan.json"
    path.write_text(text)
    assert run("verify", str(path)).exit_code == 1
    assert run("verify", str(tmp_path / "missing.json")).exit_code == 1


def test_a_plan_that_fails_its_check(parts: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from cutplan import checking

    monkeypatch.setattr(checking, "check", lambda *_: ("bar 1: a part is missing",))
    result = run("plan", parts)
    assert result.exit_code == 4
    assert "bar 1: a part is missing" in result.stderr
    assert not (tmp_path / "reports").exists()


def test_stopped_with_a_plan(parts: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from cutplan import buying

    real = buying.plan_job
    monkeypatch.setattr(buying, "plan_job", lambda *a, **k: replace(real(*a, **k), stopped_by="user"))
    result = run("plan", parts)
    assert result.exit_code == 5, result.output
    assert (tmp_path / "reports/frame/plan.json").exists()


def test_stopped_without_a_plan(parts: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from cutplan import buying

    def stopped(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(buying, "plan_job", stopped)
    result = run("plan", parts)
    assert (result.exit_code, result.stdout) == (130, "")
    assert "nothing was written" in result.stderr
    assert not (tmp_path / "reports").exists()


def test_a_fault_is_told_in_words(parts: str, monkeypatch: pytest.MonkeyPatch) -> None:
    def fault(*_: object, **__: object) -> None:
        raise IndexError("off by one")

    monkeypatch.setattr(actions, "read_job", fault)
    result = run("check", parts)
    assert result.exit_code == 70
    assert "IndexError: off by one" in result.stderr
    assert "Traceback" not in result.stderr
    assert isinstance(run("check", parts, "--debug").exception, IndexError)


def test_version() -> None:
    result = run("--version")
    assert (result.exit_code, result.stdout.split()[0]) == (0, "cutplan")


def test_quiet_when_not_a_terminal(parts: str) -> None:
    """The installed command, its error stream a pipe: one line on what was written, no progress."""
    command = str(Path(sys.executable).with_name("cutplan"))
    done = subprocess.run([command, "plan", parts], capture_output=True, text=True, check=True)
    assert done.stderr.count("\n") == 1
    assert done.stderr.startswith("Written: ")


def test_stop_from_the_keyboard_before_there_is_a_plan(parts: str, tmp_path: Path) -> None:
    """A real interrupt, sent by the program to itself while it reads: no trace, exit 130, nothing left."""
    script = (
        "import os, signal\n"
        "from cutplan import actions, cli\n"
        "actions.read_job = lambda *a, **k: os.kill(os.getpid(), signal.SIGINT)\n"
        "cli.main()\n"
    )
    done = subprocess.run([sys.executable, "-c", script, "plan", parts], capture_output=True, text=True, check=False)
    assert done.returncode == 130, done.stderr
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "reports").exists()


def command(*words: str, **settings: Any) -> subprocess.CompletedProcess[str]:
    """The installed command, in a process of its own."""
    program = str(Path(sys.executable).with_name("cutplan"))
    settings = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, **settings}
    return subprocess.run([program, *words], text=True, check=False, **settings)


@pytest.mark.parametrize("as_json", [False, True])
def test_letters_that_the_terminal_lacks(as_json: bool, parts: str, tmp_path: Path) -> None:
    (tmp_path / parts).write_text(PARTS.replace("A,4", "\N{GRINNING FACE}é,4"), encoding="utf-8")
    environment = {**os.environ, "PYTHONIOENCODING": "cp1252:strict"}
    done = command("plan", parts, *(["--json"] if as_json else []), env=environment, encoding="cp1252")
    assert done.returncode == 0, done.stderr
    if as_json:
        assert json.loads(done.stdout)["parts"][0]["mark"] == "\N{GRINNING FACE}é"


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="the system has no device that is always full")
def test_a_result_that_cannot_be_printed(parts: str, tmp_path: Path) -> None:
    with Path("/dev/full").open("w") as full:
        done = command("plan", parts, stdout=full)
    assert done.returncode == 70
    assert done.stderr.splitlines() == [
        f"Written: {Path('reports/frame/plan.json')}, {Path('reports/frame/plan.xlsx')}",
        "The result could not be printed (No space left on device).",
    ]
    assert (tmp_path / "reports/frame/plan.json").exists()


def test_a_stop_while_the_result_is_printed(parts: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(actions, "summary", stopped)
    result = run("plan", parts)
    assert result.exit_code == 5
    assert result.stderr.startswith("Written: ")
    assert "nothing was written" not in result.stderr
    assert (tmp_path / "reports/frame/plan.json").exists()


def test_a_stop_while_the_command_line_is_read(parts: str) -> None:
    script = (
        "import os, signal\n"
        "from cutplan import cli\n"
        "cli.app = lambda: os.kill(os.getpid(), signal.SIGINT)\n"
        "cli.main()\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (130, "Stopped before there was a plan; nothing was written.\n")


def test_a_stop_when_all_is_done_changes_nothing(parts: str) -> None:
    script = (
        "import atexit, os, signal\n"
        "from cutplan import cli\n"
        "atexit.register(lambda: os.kill(os.getpid(), signal.SIGINT))\n"
        "cli.main()\n"
    )
    done = subprocess.run([sys.executable, "-c", script, "check", parts], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.skipif(os.name != "posix", reason="stderr is closed as a posix shell does it")
def test_without_a_stderr(parts: str) -> None:
    program = str(Path(sys.executable).with_name("cutplan"))
    done = subprocess.run(["/bin/sh", "-c", f'"{program}" plan {parts} 2>&-'], stdout=subprocess.PIPE, check=False)
    assert done.returncode == 0


def test_a_list_that_may_not_be_read_is_bad_input(parts: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Not wrong usage: the message is that of any other file, and JSON under --json."""
    monkeypatch.setattr(os, "access", lambda *_, **__: False)
    assert run("check", parts).exit_code == 0
    assert run("verify", parts).exit_code == 1
