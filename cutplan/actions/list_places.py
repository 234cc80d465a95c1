"""Lists named by hand, and those found in folders that are named instead."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from cutplan.problems import Problem, ProblemsFound


def lists_in(places: Iterable[Path | str]) -> tuple[tuple[tuple[Path, Path], ...], tuple[Path, ...]]:
    """Each list given, and each parts list in the folders given.

    Returns
    -------
    tuple
        The lists, in order, each with the folder between it and the one given; and the csv and xlsx files of the
        folders that are no parts lists.

    Raises
    ------
    ProblemsFound
        When a folder holds no list.
    """
    from cutplan import reading

    lists: list[tuple[Path, Path]] = []
    others: list[Path] = []
    problems: list[Problem] = []
    for place in map(Path, places):
        if not place.is_dir():
            lists.append((place, Path()))
            continue
        found, not_lists = reading.parts_lists_in(place)
        lists += [(each, each.parent.relative_to(place)) for each in found]
        others += not_lists
        if not found:
            problems.append(
                Problem(
                    where=str(place),
                    found="a folder with no parts list in it",
                    accepted="a folder with parts lists",
                    found_is_text=False,
                    code="batch.no_list",
                )
            )
    if problems:
        raise ProblemsFound(problems)
    return tuple(lists), tuple(others)
