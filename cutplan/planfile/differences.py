"""A plan file held against the lists read again: what they say otherwise by now."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Any

from cutplan.model import Job
from cutplan.model.job import REST_OF
from cutplan.planfile.document import Document, job_document
from cutplan.planfile.files import differences

_AGAIN = "assumed.again"
"""The code of assumptions that only a plan of the rest has, of the parts not cut, from what can still be had."""
_OF_WHAT_IS_LEFT = frozenset(("marking", "others"))
"""What follows from the parts that are left, or is bought once."""
NAMED_BY = {"sections": "key", "parts": "mark", "offers": "id", "offcuts": "mark"}
"""Lists whose entries have names: a row that came or went is reported once, and not with every row below it."""


def differences_from(job: Job, document: Document, offcuts: Collection[str] | None = None) -> tuple[str, ...]:
    """Where a plan file says something else of the job than its lists do.

    Parameters
    ----------
    job
        The lists read again.
    document
        Satisfies the schema.
    offcuts
        Marks of the offcuts to compare; None: all. On a rack with a ledger others come and go.

    Returns
    -------
    tuple of str
        Sentences that name place, what the file states and what the lists say; empty when they agree. That a file has
        other bytes is none: see :func:`files_written_again`.
    """
    stated, fresh = ({**values, "job": _without_digests(values["job"])} for values in (document, job_document(job)))
    if of_the_rest(document):
        stated, fresh = _what_is_left(stated, fresh)
    found: list[str] = []
    for key in fresh:
        if key not in NAMED_BY:
            found += differences(stated[key], fresh[key], (key,), "the lists say {}")
            continue
        ours, theirs = (_by_name(values[key], NAMED_BY[key]) for values in (stated, fresh))
        if key == "offcuts" and offcuts is not None:
            ours, theirs = ({name: each[name] for name in each if name in offcuts} for each in (ours, theirs))
        found += _named_differences(key, ours, theirs)
    return tuple(found)


def files_written_again(job: Job, document: Document) -> tuple[str, ...]:
    """Names of files whose bytes are not those that the plan was made from."""
    before = {(file["role"], file["name"]): file["sha256"] for file in document["job"]["files"]}
    return tuple(
        file.name for file in job.files if before.get((file.role, file.name), file.sha256) != file.sha256
    )  # fmt: skip


def of_the_rest(document: Mapping[str, Any]) -> bool:
    """Was the plan made when part of its job was cut already? Then the lists say more than it holds."""
    return any(one["code"] == _AGAIN for one in document["job"]["assumptions"])


def _what_is_left(stated: Document, fresh: Document) -> tuple[Document, Document]:
    """Of a plan of the rest and of its lists, what both can say: of each part and offer no more than there was."""
    about = {**stated["job"], "warnings": [], "silenced": 0, "earlier": None}
    about["assumptions"] = [one for one in about["assumptions"] if one["code"] != _AGAIN]
    ours = {**stated, "job": about}
    theirs = {**fresh, "job": {**fresh["job"], "warnings": [], "silenced": 0}}
    for key, counted in (("sections", ""), ("parts", "quantity"), ("offers", "available")):
        here, wanted = (_by_name(values[key], NAMED_BY[key]) for values in (ours, theirs))
        theirs[key] = [_no_more(wanted[name], here[name], counted) for name in here if name in wanted]
    compared = [key for key in fresh if key not in _OF_WHAT_IS_LEFT]
    return {key: ours[key] for key in compared}, {key: theirs[key] for key in compared}


def _no_more(wanted: Document, left: Document, counted: str) -> Document:
    """What the lists say, with the number that is left where it is no more than theirs."""
    most, here = (each.get(counted) for each in (wanted, left))
    return {**wanted, counted: here} if here is not None and (most is None or here <= most) else wanted


def _without_digests(about: Mapping[str, Any]) -> Document:
    return {
        **about,
        "files": [{"role": file["role"], "name": file["name"]} for file in about["files"] if file["role"] != REST_OF],
    }


def _by_name(entries: list[Document], name: str) -> dict[str, Document]:
    return {entry[name]: entry for entry in entries}


def _named_differences(key: str, ours: Mapping[str, Document], theirs: Mapping[str, Document]) -> Iterator[str]:
    for name, entry in ours.items():
        if name in theirs:
            yield from differences(entry, theirs[name], (key, name), "the lists say {}")
        else:
            yield f"{key}[{name}]: is no longer in the lists"
    for name in theirs:
        if name not in ours:
            yield f"{key}[{name}]: is in the lists and not in the plan file"
    shared = [name for name in ours if name in theirs]
    if shared != [name for name in theirs if name in ours]:
        yield f"{key}: stand in another order in the lists"
