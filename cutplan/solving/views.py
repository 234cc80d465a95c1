"""Ways to look at a problem in which sets add up part by part, for bounds and for plans."""

from __future__ import annotations

from dataclasses import dataclass, replace

from cutplan.solving.adding import Adding
from cutplan.solving.problem import Pattern, Problem, Source


@dataclass(frozen=True)
class View:
    """A problem of which sets add up, and the most of each part that a set seen so may hold."""

    problem: Problem
    limits: Pattern


def views_for_bounds(problem: Problem) -> tuple[View, ...]:
    """Views that together see every set, each at no more than it takes and costs."""
    if not problem.mitred:
        return (View(problem, problem.demand),)
    found = []
    for level in problem.adding.levels():
        sources = tuple(_seen(source, level) for source in problem.sources)
        limits = tuple(n if p.kind in level.kinds else 0 for p, n in zip(problem.pieces, problem.demand, strict=True))
        found.append(View(replace(problem, sources=sources), limits))
    return tuple(found)


def view_for_plans(problem: Problem) -> View:
    """A view in which no set takes less than it really does: with the wider kerf of each part, longest kerfs first."""
    if not problem.mitred:
        return View(problem, problem.demand)
    kerfs = [max(piece.kind.kerf_a, piece.kind.kerf_b) for piece in problem.pieces]
    pieces = tuple(replace(piece, take=piece.length + kerf) for piece, kerf in zip(problem.pieces, kerfs, strict=True))
    sources = tuple(
        replace(
            source,
            room=source.length - source.start_trim - source.far_trim + min(kerfs),
            reach=source.length - source.start_trim,
        )
        for source in problem.sources
    )
    return View(replace(problem, pieces=pieces, sources=sources), problem.demand)


def _seen(source: Source, level: Adding) -> Source:
    """A source with the room and the price it has for sets of one level."""
    strokes = level.strokes_beyond(squared=source.start_trim > 0, open_end=source.far_trim == 0)
    room = source.length - source.start_trim - source.far_trim + level.spared()
    return replace(source, room=room, price=source.bare + source.per_cut * strokes)
