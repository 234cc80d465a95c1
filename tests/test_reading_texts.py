"""What is text: one rule at the edge, and every face takes what it lets through."""

from __future__ import annotations

import json
import unicodedata
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutplan import actions
from cutplan.actions.typed_values import printable
from cutplan.problems import ProblemsFound
from cutplan.reading.sheets.texts import seen_text, text_fault
from tests.effort import examples, some
from tests.input_files import PARTS, job_of, refusal, workshop_of, write_csv, write_xlsx


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("frame", "frame"),
        ("\N{ZERO WIDTH NO-BREAK SPACE}frame", "frame"),
        ("fr\N{ZERO WIDTH SPACE}a\N{SOFT HYPHEN}me\N{WORD JOINER}", "frame"),
        ("\N{RIGHT-TO-LEFT MARK}T\N{RIGHT-TO-LEFT EMBEDDING}12\N{FIRST STRONG ISOLATE}", "T12"),
        ("T\N{RIGHT-TO-LEFT OVERRIDE}12", "T\N{RIGHT-TO-LEFT OVERRIDE}12"),
        ("up\x0bdown", "up down"),
        ("up\x0c\x85\N{LINE SEPARATOR}\N{NO-BREAK SPACE}down", "up    down"),
        ("up\n\tdown", "up\n\tdown"),
        ("漆 \N{HEBREW LETTER SHIN} \N{WRENCH}", "漆 \N{HEBREW LETTER SHIN} \N{WRENCH}"),
        # Two of these letters join unless they are kept apart (Unicode 15.0, 23.2).
        ("می\N{ZERO WIDTH NON-JOINER}خواهم", "می\N{ZERO WIDTH NON-JOINER}خواهم"),
        ("bell\x07", "bell\x07"),
    ],
)
def test_what_nobody_can_see_is_no_text(typed: str, read: str) -> None:
    assert seen_text(typed) == read


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("漆\N{WRENCH}\n", ""),
        ("bell\x07", "a character that cannot be printed, U+0007"),
        ("T\N{RIGHT-TO-LEFT OVERRIDE}12", "a character that shows letters in another order, U+202E"),
        ("\N{LEFT-TO-RIGHT OVERRIDE}T12", "a character that shows letters in another order, U+202D"),
        ("\ufdd0", "a character that cannot be printed, U+FDD0"),
        ("\uffff", "a character that cannot be printed, U+FFFF"),
        ("x" * 32_001, "a text of 32001 characters"),
    ],
)
def test_what_is_no_letter_is_a_fault(text: str, fault: str) -> None:
    assert text_fault(text) == fault


@pytest.mark.thorough
@settings(max_examples=examples(200), deadline=None, derandomize=True)
@given(st.text())
def test_once_is_enough_and_no_letter_is_lost(text: str) -> None:
    read = seen_text(text)
    assert seen_text(read) == read
    letters = [letter for letter in text if unicodedata.category(letter)[0] in "LMNPS"]
    assert [letter for letter in read if unicodedata.category(letter)[0] in "LMNPS"] == letters


def test_a_list_joined_from_two_files(tmp_path: Path) -> None:
    """Each began with a mark of its encoding and with its headings."""
    path = tmp_path / "joined.csv"
    text = "\ufeffMark,Quantity,Section,Length\nA1,2,SHS 40x40x3,1200\n"
    path.write_text(text + text.replace("A1", "A2") + "\ufeffA3,1,SHS 40x40x3,900\n", encoding="utf-8")
    job = job_of(tmp_path, path)
    assert [part.mark for part in job.parts] == ["A1", "A2", "A3"]
    assert [problem.found for problem in job.warnings if "headings" in problem.found] != []


def test_cells_keys_and_typed_parts_follow_one_rule(tmp_path: Path) -> None:
    odd = "up\x0bdown\ufeff"
    rows = ((*PARTS[0], "Assembly"), (*PARTS[1], odd))
    assert [part.assembly for part in job_of(tmp_path, rows).parts] == ["up down"]
    plain = (rows[0], (*PARTS[1], "up\N{NO-BREAK SPACE}down\ufeff"))
    book = write_xlsx(tmp_path / "list.xlsx", Parts=plain)
    assert [part.assembly for part in job_of(tmp_path, book).parts] == ["up down"]
    assert "U+0007" in refusal(tmp_path, (rows[0], (*PARTS[1], "bell\x07")))
    shop, problems = workshop_of(tmp_path, '[workshop]\nname = "Iron\\u000b Lane\\ufeff"\n')
    assert (shop.workshop.name, problems) == ("Iron Lane", [])
    assert "SHS 40x40x3" in str(actions.read_quick("SHS\ufeff 40x40x3: 1 @\x0b900", stock=["6 m"]))


@pytest.mark.parametrize("column", ["Mark", "Section", "Length", "Note"])
def test_what_is_seen_in_another_order_than_it_is_in_is_refused_where_it_stands(column: str, tmp_path: Path) -> None:
    """T12 behind the character is T21 to whoever looks at the list, and nobody knows which was meant."""
    heads = ("Mark", "Quantity", "Section", "Length", "Note")
    row = tuple(
        {column: "\N{RIGHT-TO-LEFT OVERRIDE}T12"}.get(head, cell) for head, cell in zip(heads, LINE, strict=True)
    )
    told = f'row 2, column {"ABCDE"[heads.index(column)]} "{column}": found a character that shows letters in another'
    for path in (
        write_csv(tmp_path / "list.csv", (heads, row)),
        write_xlsx(tmp_path / "list.xlsx", Parts=(heads, row)),
    ):
        assert f"{told} order, U+202E" in refusal(tmp_path, path)


def test_what_is_typed_and_keys_are_held_to_the_same(tmp_path: Path) -> None:
    _, problems = workshop_of(tmp_path, '[workshop]\nname = "Iron \\u202eLane"\n')
    assert "U+202E" in str(problems)
    for typed in ("SHS 40x40x3: 1 @ \u202e900", "\u202eSHS 40x40x3: 1 @ 900"):
        with pytest.raises(ProblemsFound):
            actions.read_quick(typed, stock=["6 m"])
    with pytest.raises(ProblemsFound):
        printable("--reason", "bent \u202eby 12")


LINE = ("A1", 2, "SHS 40x40x3", 1200, "")
SCRIPTS = "漆 黒皮 שלום नमन سلام Żółć \N{WRENCH} \N{MATHEMATICAL BOLD CAPITAL A}"


@pytest.mark.parametrize("column", some(["Mark", "Assembly", "Note", "Grade", "Finish"], "Grade"))
def test_a_word_of_any_script_is_printed_in_any_column(column: str, tmp_path: Path) -> None:
    word = f"{SCRIPTS} x" if column != "Mark" else "漆\N{WRENCH}1"
    heads = ("Quantity", "Section", "Length", column)
    job = job_of(tmp_path, (heads, (2, "SHS 40x40x3", 1200, word)), prices=None, stock=["6 m"])
    out = tmp_path / "out"
    actions.write_plan(job, actions.plan(job), out)
    assert {path.name for path in out.iterdir()} >= {"plan.pdf", "labels.pdf", "plan.xlsx", "plan.html", "plan.json"}
    assert word.split()[0] in json.dumps(json.loads((out / "plan.json").read_text()), ensure_ascii=False)


def test_letters_that_paper_may_not_show_are_warned_about_before_planning(tmp_path: Path) -> None:
    heads = ("Mark", "Quantity", "Section", "Length", "Finish", "Note")
    path = write_csv(tmp_path / "gate.csv", (heads, ("漆1", 2, "SHS 40x40x3", 1200, "ö", "\N{WRENCH}")))
    (warning,) = actions.read_job(path, stock=["6 m"]).warnings
    assert str(warning).startswith("gate: found letters that the shipped font lacks, in 漆1, \N{WRENCH}.")
    plain = write_csv(tmp_path / "plain.csv", (heads, ("Ö1", 2, "SHS 40x40x3", 1200, "ö", "± ½")))
    assert actions.read_job(plain, stock=["6 m"]).warnings == ()
