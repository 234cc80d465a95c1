"""The least cost of a small job by sequences: an integer program over which part follows which, in which way it lies.

A second opinion, from the rules alone: nothing is known here of classes, trails or states. Every piece is drawn as a
trapezoid in the plane of its mitres, in each way that it may lie; two faces of one slant can be one cut. Bars are
circuits through a depot. Only prices of bars count; neither work nor the value of left overs does.
"""

from __future__ import annotations

from typing import NamedTuple

from ortools.sat.python import cp_model

from cutplan.model import Job, Lean, Part, groups_of
from cutplan.units import kerf_along, mitre_saving


class Lying(NamedTuple):
    """One piece in one way: its place in the list of pieces, and (angle, slant) of both faces."""

    piece: int
    near: tuple[int, int]
    far: tuple[int, int]


def ways_to_lie(piece: int, part: Part, *, share: bool) -> list[Lying]:
    """As listed, and where cuts may be shared, mirrored end for end and edge for edge too."""
    a, b = part.end_a.angle, part.end_b.angle
    if not (share and part.share_mitres):
        return [Lying(piece, (a, 0), (b, 0))]
    near = (a, 1 if a else 0)
    far = (b, 0 if not b else 1 if a and part.lean is Lean.PARALLEL else -1)
    found = {Lying(piece, near, far), Lying(piece, (b, -far[1]), (a, -near[1]))}
    found |= {Lying(piece, (x[0], -x[1]), (y[0], -y[1])) for _, x, y in found}
    return sorted(found)


def least_by_sequences(job: Job) -> int:
    """Least money for the bars of a job of one group with offers alone and no trims but the same at all ends."""
    (group,) = groups_of(job)
    saw = job.workshop.saw
    trim = 0 if saw.mill_ends_accepted else saw.end_trim + (0 if saw.end_trim_includes_cut else saw.kerf)
    pieces = [part for part in group.parts for _ in range(part.quantity)]
    lying = [way for n, part in enumerate(pieces) for way in ways_to_lie(n, part, share=saw.share_mitres)]
    model = cp_model.CpModel()
    longest = max(offer.counted for offer in group.offers)
    at = [model.new_int_var(0, longest, f"at {n}") for n in range(len(pieces))]
    stock = [[model.new_bool_var(f"{n} from {s}") for s in range(len(group.offers))] for n in range(len(pieces))]
    arcs, cost = [], []
    used = [model.new_bool_var(f"way {n}") for n in range(len(lying))]
    for n in range(len(pieces)):
        model.add_exactly_one(stock[n])
        model.add_exactly_one(used[k] for k, way in enumerate(lying) if way.piece == n)
    for k, way in enumerate(lying):
        part = pieces[way.piece]
        arcs.append((k + 1, k + 1, ~used[k]))
        first = model.new_bool_var(f"first {k}")
        arcs.append((0, k + 1, first))
        model.add(at[way.piece] == trim).only_enforce_if(first)
        for s, offer in enumerate(group.offers):
            both = model.new_bool_var(f"first {k} of {s}")
            model.add_bool_or(~first, ~stock[way.piece][s], both)
            cost.append((offer.bar_price or 0) * both)
        last = model.new_bool_var(f"last {k}")
        arcs.append((k + 1, 0, last))
        _held_last(model, job, part, at[way.piece], way, last, stock[way.piece])
        for s, offer in enumerate(group.offers):
            end = offer.counted - trim - part.length
            model.add(at[way.piece] <= end).only_enforce_if(stock[way.piece][s])
        for m, after in enumerate(lying):
            if after.piece == way.piece:
                continue
            follows = model.new_bool_var(f"{k} then {m}")
            arcs.append((k + 1, m + 1, follows))
            one_cut = way.far == after.near and way.far[1] != 0 and part.depth == pieces[after.piece].depth
            gap = max(kerf_along(saw.kerf, way.far[0]), kerf_along(saw.kerf, after.near[0]))
            gap -= mitre_saving(part.depth, way.far[0]) if one_cut else 0
            model.add(at[after.piece] == at[way.piece] + part.length + gap).only_enforce_if(follows)
            for one, other in zip(stock[way.piece], stock[after.piece], strict=True):
                model.add(one == other).only_enforce_if(follows)
    # Pieces of one part may change places.
    for n in range(len(pieces) - 1):
        if pieces[n] is pieces[n + 1]:
            model.add(at[n] <= at[n + 1])
    model.add_multiple_circuit(arcs)
    model.minimize(sum(cost))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = 60
    status = solver.solve(model)
    assert status == cp_model.OPTIMAL, solver.status_name(status)
    return round(solver.objective_value)


def _held_last(
    model: cp_model.CpModel,
    job: Job,
    part: Part,
    at: cp_model.IntVar,
    way: Lying,
    last: cp_model.IntVar,
    stock: list[cp_model.IntVar],
) -> None:
    """The last cut is held on the part, or what lies beyond it is as long as the safe hold."""
    saw = job.workshop.saw
    if not saw.safe_hold or part.grip >= saw.safe_hold:
        return
    (group,) = groups_of(job)
    for offer, here in zip(group.offers, stock, strict=True):
        beyond = offer.counted - part.length - kerf_along(saw.kerf, way.far[0]) - saw.safe_hold
        model.add(at <= beyond).only_enforce_if(last, here)
