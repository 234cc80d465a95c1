"""A table or a picture as a file whose ending says its form."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from pathlib import Path

from cutplan.problems import Problem, ProblemsFound


def with_ending(out: Path, endings: Collection[str], where: str = "--out") -> str:
    """The ending of a file that is to be written, in small letters; ``where`` names the option that named it.

    Raises
    ------
    ProblemsFound
        When it is none of these.
    """
    ending = out.suffix.lower()
    if ending not in endings:
        *others, last = endings
        accepted = f"a name that ends in {', '.join(others)} or {last}"
        raise ProblemsFound([Problem(where=where, found=str(out), accepted=accepted, code="file.name")])
    return ending


def write_as(out: Path, forms: Mapping[str, Callable[[], bytes]], where: str = "--out") -> Path:
    """Write the form that the ending of the file names; it takes its place as a whole.

    Raises
    ------
    ProblemsFound
        When the ending names none, or the file cannot be written.
    """
    from cutplan.actions.printing import could_write, printing

    contents = forms[with_ending(out, forms, where)]()
    with could_write(out):
        out.parent.mkdir(parents=True, exist_ok=True)
    with printing(out) as new:
        new.write_bytes(contents)
    return out
