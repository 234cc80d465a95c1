"""Ways to look at an instance in which sets add up part by part, for bounds and for plans."""

from __future__ import annotations

from dataclasses import dataclass, replace

from cutplan.solving.adding import Adding
from cutplan.solving.instance import Instance, Pattern, Source


@dataclass(frozen=True)
class View:
    """An instance of which sets add up, and the most of each part that a set seen so may hold."""

    instance: Instance
    limits: Pattern


def views_for_bounds(instance: Instance) -> tuple[View, ...]:
    """Views that together see every set, each at no more than it takes and costs."""
    if not instance.mitred:
        return (View(instance, instance.demand),)
    found = []
    for level in instance.adding.levels():
        sources = tuple(_seen(source, level) for source in instance.sources)
        limits = tuple(n if p.kind in level.kinds else 0 for p, n in zip(instance.pieces, instance.demand, strict=True))
        found.append(View(replace(instance, sources=sources), limits))
    return tuple(found)


def view_for_plans(instance: Instance) -> View:
    """A view in which no set takes less than it really does: with the wider kerf of each part, longest kerfs first."""
    if not instance.mitred:
        return View(instance, instance.demand)
    kerfs = [max(piece.kind.kerf_a, piece.kind.kerf_b) for piece in instance.pieces]
    pieces = tuple(replace(piece, take=piece.length + kerf) for piece, kerf in zip(instance.pieces, kerfs, strict=True))
    sources = tuple(
        replace(
            source,
            room=source.length - source.start_trim - source.far_trim + min(kerfs),
            reach=source.length - source.start_trim,
        )
        for source in instance.sources
    )
    return View(replace(instance, pieces=pieces, sources=sources), instance.demand)


def _seen(source: Source, level: Adding) -> Source:
    """A source with the room and the price it has for sets of one level."""
    strokes = level.strokes_beyond(squared=source.start_trim > 0, open_end=source.far_trim == 0)
    room = source.length - source.start_trim - source.far_trim + level.spared()
    return replace(source, room=room, price=source.bare + source.per_cut * strokes)
