"""The manual's table of accepted spellings is made from the tests.

Renew it with ``python -m tests.test_accepted_spellings``.
"""

from __future__ import annotations

from tests.accepted_spellings import ACCEPTED_SPELLINGS
from tests.manual_pages import MANUAL, PAGES

TITLE = "\n## Spelling of sections\n"
HEAD = "| section | typed | read as |\n|---|---|---|\n"


def table() -> str:
    """One row for each kind of section and each spelling it is read as."""
    rows = []
    for kind, pairs in ACCEPTED_SPELLINGS.items():
        typed: dict[str, list[str]] = {}
        for name, spelling in pairs:
            typed.setdefault(spelling, []).append(f"`{' '.join(name.split())}`")
        rows += [f"| {kind} | {', '.join(names)} | {spelling} |\n" for spelling, names in typed.items()]
    return HEAD + "".join(rows)


def renewed(page: str) -> str:
    """The page with the table below its title put in place of the one that stands there."""
    before, after = page.split(TITLE, 1)
    start = after.index(HEAD.split("\n", 1)[0])
    end = f"{after}\n".index("\n\n", start) + 1
    return before + TITLE + after[:start] + table() + after[end:]


def test_the_manual_has_the_table_of_the_tests() -> None:
    assert PAGES["sections"] == renewed(PAGES["sections"]), "renew it: python -m tests.test_accepted_spellings"


def test_every_kind_of_section_has_more_than_one_spelling() -> None:
    assert all(len(pairs) > 1 for pairs in ACCEPTED_SPELLINGS.values())


if __name__ == "__main__":
    (MANUAL / "sections.md").write_text(renewed(PAGES["sections"]), encoding="utf-8")
