"""The workshop file as pages: every key with its sentence and its default, and the blocks of merchants and the like."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import groupby

from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from cutplan import actions
from cutplan.actions import FormKey
from cutplan.problems import Problem
from cutplan.web.forms import Form, form_of
from cutplan.web.look import REFUSALS, page, problems_of, to
from cutplan.words.bench_words import BLOCK_WORDS

BAD = 400


def workshop(request: Request, typed: Mapping[str, str] | None = None, wrong: Sequence[Problem] = ()) -> Response:
    """The form; with what was typed where that was refused."""
    name, keys = actions.workshop_keys()
    at_keys = {key.name: each for key in keys for each in wrong if f'key "{key.name}"' in each.where}
    shown = [_as_typed(key, typed) for key in keys]
    tables = [(table, list(some)) for table, some in groupby(shown, key=lambda key: key.name.partition(".")[0])]
    return page(
        request,
        "workshop",
        BAD if wrong else 200,
        name=name,
        tables=tables,
        saved="saved" in request.query_params,
        wrong=at_keys,
        problems=wrong,
        blocks=BLOCK_WORDS,
    )


def _as_typed(key: FormKey, typed: Mapping[str, str] | None) -> FormKey:
    return key if typed is None else replace(key, typed=typed.get(key.name, key.typed))


async def save(request: Request) -> Response:
    """Save what was typed."""
    form = await form_of(request)
    return await run_in_threadpool(_save, request, form)


def _save(request: Request, form: Form) -> Response:
    try:
        actions.workshop_save(form.texts)
    except REFUSALS as wrong:
        return workshop(request, form.texts, problems_of(wrong))
    return to("/workshop?saved")


def blocks(request: Request, typed: Mapping[str, str] | None = None, wrong: Sequence[Problem] = ()) -> Response:
    """The blocks of a table that may be repeated, and an empty one."""
    table = _table(request)
    name, there = actions.blocks_shown(table)
    at_keys = {
        key.name: each
        for block in there
        for key in block.keys
        for each in wrong
        if f'{table} {block.number}, key "{key.name.partition(".")[2]}"' in each.where
    }
    without: tuple[str, ...] = ()
    if table == "merchant":
        with_terms = {block.name.casefold() for block in there}
        without = tuple(each for each in actions.merchants_named() if each.casefold() not in with_terms)
    return page(
        request,
        "blocks",
        BAD if wrong else 200,
        name=name,
        table=table,
        words=BLOCK_WORDS[table],
        blocks=[(block, [_as_typed(key, typed) for key in block.keys]) for block in there],
        saved="saved" in request.query_params,
        wrong=at_keys,
        problems=wrong,
        without=without,
    )


def _table(request: Request) -> str:
    table = str(request.path_params.get("table", "merchant"))
    if table not in actions.block_tables():
        raise HTTPException(404)
    return table


async def save_blocks(request: Request) -> Response:
    """Save what was typed into the blocks."""
    form = await form_of(request)
    return await run_in_threadpool(_save_blocks, request, form)


def _save_blocks(request: Request, form: Form) -> Response:
    try:
        actions.blocks_save(_table(request), form.texts)
    except REFUSALS as wrong:
        return blocks(request, form.texts, problems_of(wrong))
    return to(f"{request.url.path}?saved")


ROUTES = [
    Route("/workshop", workshop, name="workshop"),
    Route("/workshop", save, methods=["POST"]),
    Route("/merchants", blocks, name="merchants"),
    Route("/merchants", save_blocks, methods=["POST"]),
    Route("/workshop/{table}", blocks, name="blocks"),
    Route("/workshop/{table}", save_blocks, methods=["POST"]),
]
