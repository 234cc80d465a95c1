"""Names and words that steer a terminal, or are no text: they come out escaped or are refused, and harm no file."""

from __future__ import annotations

import json
import os
import re
import zipfile
from pathlib import Path
from xml.etree import ElementTree

import pytest

from cutplan.problems import ProblemsFound, plain
from cutplan.reading import read_job
from tests.commands import PARTS, command, run
from tests.effort import some

NAMES = {
    "colour": b"a\x1b[31mb\x08\x7f",
    "line feed": b"a\nb",
    "one byte that steers": "a\x9b31mb".encode(),
    "turned round": "a\u202egpj.b".encode(),
    "bytes that are no text": b"l\xe4nge",
}
STEERS = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
"""Written out here again: ECMA-48 and ISO/IEC 6429 have C0 and C1, Unicode 15.0, 23.2, what turns text round."""


def clean(output: bytes) -> str:
    text = output.decode("utf-8")
    assert not STEERS.search(text)
    return text


@pytest.mark.parametrize("name", some(NAMES, "bytes that are no text"))
def test_a_list_of_that_name(name: str, tmp_path: Path) -> None:
    folder = os.fsencode(tmp_path)
    path = os.path.join(folder, NAMES[name] + b".csv")
    with open(path, "w", encoding="utf-8") as file:
        file.write(PARTS)
    stock = ("--stock", "6 m")
    done = command("plan", os.fsdecode(path), *stock, cwd=tmp_path, text=False)
    assert done.returncode == 0
    clean(done.stdout + done.stderr)
    (made,) = (tmp_path / "reports").iterdir()
    with zipfile.ZipFile(made / "plan.xlsx") as archive:
        for entry in archive.namelist():
            if entry.endswith(".xml"):
                ElementTree.fromstring(archive.read(entry))
    kept = json.loads(clean((made / "plan.json").read_bytes()))
    assert kept["job"]["name"].encode("utf-8", "surrogateescape") == NAMES[name]
    with open(path, "w", encoding="utf-8") as file:
        file.write(PARTS + "X,x,y,z\n")
    checked = run("check", os.fsdecode(path), *stock, "--json")
    assert checked.exit_code == 1
    assert json.loads(clean(checked.stdout_bytes))["problems"]
    with pytest.raises(ProblemsFound) as found:
        read_job(Path(os.fsdecode(path)), stock=["6 m"])
    clean(plain(str(found.value)).encode("utf-8"))


@pytest.mark.parametrize("option", ["--reason", "--who"])
@pytest.mark.parametrize("words", ["a\x1b[31mb", "a\x9bb", "a\udce4b", "x" * 40_000])
def test_words_that_are_kept_for_good(option: str, words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "workshop.toml").write_text("")
    done = run("rack", "add", "SHS 40x40x3", "1240", option, words)
    assert done.exit_code == 1
    assert done.output.startswith(f"{option}: found")
    assert not STEERS.search(done.output)
    assert "1240 mm" not in run("rack", "show").output


@pytest.mark.parametrize(
    "words",
    some(
        [("plan\x1b[31m",), ("plan", "--\x1b[31m"), ("rack", "add", "x\x1b[31m")],
        ("plan", "--\x1b[31m"),
    ),
)
def test_words_of_wrong_usage(words: tuple[str, ...], tmp_path: Path) -> None:
    done = command(*words, cwd=tmp_path, text=False)
    assert done.returncode in (1, 2)
    assert done.stderr
    clean(done.stdout + done.stderr)


@pytest.mark.thorough
@pytest.mark.parametrize("mask", [0o002, 0o077])
def test_files_are_made_with_the_mask_of_the_user(mask: int, tmp_path: Path) -> None:
    (tmp_path / "workshop.toml").write_text("")
    (tmp_path / "list.csv").write_text(PARTS)
    for words in (
        ("rack", "add", "SHS 40x40x3", "1240"),
        ("rack", "backup", "copy.ledger"),
        ("plan", "list.csv", "--stock", "6 m", "--hold"),
        ("new", "gate", "--stock", "6 m"),
        ("brace", "1000 x 800", "--section", "SHS 40x40x3", "--append", "braces.csv"),
        ("prices", "list.csv"),
        ("convert", "list.csv", "--stock", "6 m"),
    ):
        done = command(*words, cwd=tmp_path, umask=mask)
        assert done.returncode == 0, done.stderr
    made = [path for path in tmp_path.rglob("*") if path.is_file() and path.name not in ("workshop.toml", "list.csv")]
    assert len(made) >= 10
    assert {path.name: oct(path.stat().st_mode & 0o777) for path in made} == {
        path.name: oct(0o666 & ~mask) for path in made
    }


@pytest.mark.parametrize("mask", [0o077, 0o002])
def test_the_lock_is_made_with_the_mask_of_the_user(mask: int, tmp_path: Path) -> None:
    from cutplan.actions.locking import LOCK_FILE
    from cutplan.actions.output_folder import reserved

    before = os.umask(mask)
    try:
        with reserved(tmp_path):
            assert (tmp_path / LOCK_FILE).stat().st_mode & 0o777 == 0o666 & ~mask
    finally:
        os.umask(before)
