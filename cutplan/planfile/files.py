"""Writing plan.json as a whole or not at all, and reading it back with every doubt named."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from cutplan.model import Job, Plan, bar_price, price_as_typed
from cutplan.planfile.digest import KEY
from cutplan.planfile.document import SCHEMA_VERSION, Document, schema, to_document
from cutplan.planfile.parsing import from_document
from cutplan.planfile.satisfying import Says, satisfying
from cutplan.problems import Problem, ProblemsFound, Refused, plain
from cutplan.sections import read_section
from cutplan.unfinished import unfinished
from cutplan.units import exact_money_text, mm_text

LINE_WIDTH = 160
"""Flat values that fit on a line of this width are written on one: a cut, a part's end, an order line."""

_ACCEPTED = "a plan.json as cutplan wrote it"


def write(job: Job, plan: Plan, path: Path) -> None:
    """Write plan.json; the file is replaced as a whole once all of it is on disk.

    Parameters
    ----------
    job, plan
        As for :func:`~cutplan.planfile.to_document`.
    path
        The folder exists.

    Raises
    ------
    OSError
        When the file cannot be written; a file that was there stays as it was.
    """
    # A file name can hold bytes that are no UTF-8; written as JSON escapes they come back as they were.
    text = document_text(to_document(job, plan)).encode("utf-8", "backslashreplace")
    temporary = unfinished(path)
    try:
        with temporary.open("wb") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        os.replace(temporary, path)
    finally:
        temporary.unlink(missing_ok=True)


def read_document(path: Path) -> Document:
    """The plain values of a plan.json, held against the schema; whether they hold is for the checker to say.

    Raises
    ------
    ProblemsFound
        When the file is not there, is no JSON, is of another schema version
        or does not satisfy the schema.
    """
    where = str(path)
    try:
        if path.exists() and not path.is_file() and not path.is_dir():
            raise ProblemsFound(
                [_problem(where, "a device", _ACCEPTED, code="file.device")]
            )  # reading one may never end
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        raise ProblemsFound([_problem(where, "no such file", _ACCEPTED, code="file.missing")]) from None
    except OSError as error:
        raise ProblemsFound(
            [_problem(where, f"it cannot be read ({error.strerror})", _ACCEPTED, code="file.unreadable")]
        ) from None
    except UnicodeDecodeError:
        raise ProblemsFound([_problem(where, "text that is not UTF-8", _ACCEPTED, code="file.encoding")]) from None
    except ValueError as error:  # a name that no file can have
        raise ProblemsFound(
            [_problem(where, f"it cannot be read ({error})", _ACCEPTED, code="file.unreadable")]
        ) from None
    try:
        # Amounts are texts and counts whole: a number with a decimal point becomes a value that no schema type takes.
        document = json.loads(text, parse_float=Decimal, parse_constant=_no_number, object_pairs_hook=_each_once)
    except json.JSONDecodeError as error:
        found = f"no JSON from line {error.lineno}, column {error.colno} on"
        raise ProblemsFound([_problem(where, found, _ACCEPTED, code="plan_file.json")]) from None
    except Refused as refused:
        raise ProblemsFound([_problem(where, refused.found, refused.accepted, code=refused.code)]) from None
    except (ValueError, RecursionError):
        raise ProblemsFound(
            [_problem(where, "JSON that no plan is made of", _ACCEPTED, code="plan_file.json")]
        ) from None
    if not isinstance(document, dict) or "schema_version" not in document:
        raise ProblemsFound([_problem(where, "JSON without a schema version", _ACCEPTED, code="plan_file.version")])
    version = document["schema_version"]
    if version != SCHEMA_VERSION:
        found = f"schema version {json.dumps(version, default=str)[:40]}"
        hint = "plan the job again with this release of cutplan"
        raise ProblemsFound(
            [_problem(where, found, f'schema version "{SCHEMA_VERSION}"', hint, code="plan_file.version")]
        )
    problems = schema_problems(document, where)
    if problems:
        raise ProblemsFound(problems)
    return document


def _no_number(word: str) -> Any:
    """``NaN`` and ``Infinity``, which Python's reader takes and JSON has not."""
    raise Refused(f"{word}, which is no number of JSON", _ACCEPTED, code="plan_file.json")


def _each_once(pairs: list[tuple[str, Any]]) -> Document:
    """An object whose keys are there once each: of two, one reader takes the first and another the last."""
    values = dict(pairs)
    if len(values) < len(pairs):
        keys = [key for key, _ in pairs]
        twice = next(key for key in keys if keys.count(key) > 1)
        raise Refused(
            f"the key {json.dumps(twice, ensure_ascii=False)[:80]} twice in one object",
            _ACCEPTED,
            code="plan_file.json",
        )
    return values


def schema_problems(document: Document, where: str = "plan file") -> tuple[Problem, ...]:
    """Every place where a document does not satisfy the schema, in reading order."""
    if _satisfied()(document):
        return ()  # a hundred times as quick as looking for faults
    from jsonschema import Draft202012Validator

    errors = sorted(Draft202012Validator(schema()).iter_errors(document), key=lambda error: [*map(str, error.path)])
    problems = []
    for error in errors:
        found, hint = json.dumps(error.instance, ensure_ascii=False, default=str), ""
        if error.validator in ("additionalProperties", "required"):
            found = error.message.removesuffix(" is a required property")
            found = f"no {found}" if error.validator == "required" else found
            hint = "written by another release of cutplan? then plan the job again"
        elif isinstance(error.instance, Decimal | int) and not isinstance(error.instance, bool):
            found = f"the number {error.instance}"
        described = isinstance(error.schema, dict) and error.schema.get("description", "")
        problems.append(
            Problem(
                where=f"{where}, {_place(error.absolute_path)}",
                found=found if len(found) <= 120 else found[:117] + "...",
                accepted=described or f"what the schema of plan files says ({error.validator})",
                hint=hint,
                found_is_text=False,
                code="plan_file.schema",
            )
        )
    return tuple(problems)


@cache
def _satisfied() -> Says:
    return satisfying(schema())


def contradictions(document: Document) -> tuple[str, ...]:
    """Where a document's derived values do not follow from its base values.

    The checker judges Job and Plan; this judges what else the file says: totals,
    whole numbers of the groups, prices of bars against prices as typed.

    Parameters
    ----------
    document
        Satisfies the schema. The program's and the libraries' versions are not compared.

    Returns
    -------
    tuple of str
        Sentences that name place, found and derived; empty when all follows.
    """
    job, plan = from_document(document)
    found = [*_section_contradictions(job)]
    for offer in job.offers:
        counted = job.workshop.counted_on(offer.section.family, offer.length)
        if offer.counted != counted:
            found.append(
                f"offer {offer.id}: {mm_text(offer.counted)} mm is counted on, "
                f"{mm_text(counted)} mm follows from its length and the minus tolerance"
            )
        if not offer.typed_price:
            continue  # nothing to hold the bar price against
        try:
            price = price_as_typed(offer.typed_price, job.workshop)
        except Refused:
            found.append(f"offer {offer.id}: the price as typed, {offer.typed_price[:40]!r}, is no amount")
            continue
        derived = bar_price(price, offer.basis, offer.length, offer.section)
        if offer.bar_price != derived:
            stated = "no price" if offer.bar_price is None else exact_money_text(offer.bar_price)
            found.append(
                f"offer {offer.id}: {offer.typed_price} {offer.basis.value} makes {exact_money_text(derived)} a bar, "
                f"{stated} is stated"
            )
    try:
        fresh = to_document(job, plan)
    except ValueError as error:
        return (*found, f"totals cannot be worked out: {error}")
    for key in fresh:
        if key not in ("program", KEY):
            found += differences(document[key], fresh[key], (key,), "{} follows from the plan")
    return tuple(found)


def _section_contradictions(job: Job) -> Iterator[str]:
    """Where a section is not what its name says.

    Areas, masses and surfaces are not worked out anew: a later release may know a better table of radii, and the
    plan was made with these.
    """
    for section in dict.fromkeys(item.section for items in (job.parts, job.offers, job.offcuts) for item in items):
        try:
            named = read_section(
                section.designation,
                standard=section.standard,
                standard_of=job.workshop.standard,
                density=job.workshop.density,
                notation=job.workshop.notation,
            )
        except Refused:
            named = None  # no name that is known here
        density = named.density if named else job.workshop.density
        if section.density != density:
            yield (
                f"section {section.key}: a density of {section.density} kg/m3 is stated, the workshop's is {density}"
            )
        if named is None:
            continue
        for what in ("family", "height", "width", "thickness"):
            if getattr(named, what) != getattr(section, what):
                yield f"section {section.key}: its {what} is not the one its name says"


def differences(stated: Any, derived: Any, path: tuple[str | int, ...], clause: str) -> Iterator[str]:
    """Every place where two documents differ; ``clause`` has a gap for the derived value and says where it is from."""
    if isinstance(derived, dict) and isinstance(stated, dict) and derived.keys() == stated.keys():
        for key in derived:
            yield from differences(stated[key], derived[key], (*path, key), clause)
    elif isinstance(derived, list) and isinstance(stated, list) and len(derived) == len(stated):
        for place, pair in enumerate(zip(stated, derived, strict=True)):
            yield from differences(*pair, (*path, place), clause)
    elif stated != derived:
        shown = [json.dumps(value, ensure_ascii=False)[:80] for value in (stated, derived)]
        yield f"{_place(path)}: {shown[0]} is stated, {clause.format(shown[1])}"


def _place(path: Any) -> str:
    """``groups[0].bars[2].cuts[1].start``, counted from 0 as in JSON."""
    text = ""
    for step in path:
        text += f"[{step}]" if isinstance(step, int) else f".{step}" if text else str(step)
    return text or "the whole"


def _problem(where: str, found: str, accepted: str, hint: str = "", *, code: str) -> Problem:
    return Problem(where=where, found=found, found_is_text=False, accepted=accepted, hint=hint, code=code)


def document_text(value: Any) -> str:
    """A document as JSON text: keys as they stand, short values on one line, a line feed at the end."""
    return plain("".join(_pieces(value, 0))) + "\n"


_written = json.JSONEncoder(ensure_ascii=False).encode
"""As ``json.dumps`` with that choice, which makes an encoder for every value."""


def _pieces(value: Any, depth: int) -> Iterator[str]:
    line = _one_line(value, LINE_WIDTH - 2 * depth)
    if line is not None:
        yield line
        return
    inner, outer = "\n" + "  " * (depth + 1), "\n" + "  " * depth
    items = value.items() if isinstance(value, dict) else enumerate(value)
    opening, closing = "{}" if isinstance(value, dict) else "[]"
    yield opening
    for place, (key, item) in enumerate(items):
        yield ("," if place else "") + inner
        if isinstance(value, dict):
            yield _written(key) + ": "
        yield from _pieces(item, depth + 1)
    yield outer + closing


def _one_line(value: Any, width: int) -> str | None:
    """The value on one line, or None when it is to be broken: because it is too long, or nests too deep to read."""
    if not isinstance(value, dict | list):
        return _written(value)
    items = value.values() if isinstance(value, dict) else value
    if _numbers(value):
        return json.dumps(value)  # duals and count ranges are for programs, however many there are
    if any(isinstance(item, dict | list) and item for item in items):
        return None
    line = _written(value)
    return line if len(line) <= width or not value else None


def _numbers(value: Any) -> bool:
    """Is it a list of whole numbers, or of lists of them?"""
    return isinstance(value, list) and all(
        (isinstance(item, int) or (isinstance(item, list) and _numbers(item))) for item in value
    )
