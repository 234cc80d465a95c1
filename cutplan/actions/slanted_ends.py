"""A slanted end of a piece, as typed: what it runs across has to be known, or nobody can say what squaring takes."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from cutplan.model import EndState
from cutplan.model.placing import side_of_slant
from cutplan.problems import Problem, ProblemsFound, Refused

if TYPE_CHECKING:
    from cutplan.model import Workshop
    from cutplan.rack.pieces import State
    from cutplan.sections import Section
    from cutplan.units import Length


def with_known_slant(shop: Workshop, section: Section, state: State, across: str | None) -> State:
    """The state with a slanted end as its end A, and what that runs across.

    Parameters
    ----------
    across
        The side of the section that it runs across, as typed; None where that is not said.

    Raises
    ------
    ProblemsFound
        When an end is slanted and mill, or it cannot be told what a slant runs across.
    """
    for name, end, angle in (("a", state.end_a, state.angle_a), ("b", state.end_b, state.angle_b)):
        if angle and end is EndState.MILL:
            raise _refused(f"--angle-{name}", "a slant of a mill end", "0; or the end as sawn")
    if state.angle_b and not state.angle_a:
        state = replace(
            state, end_a=state.end_b, end_b=state.end_a, angle_a=state.angle_b, angle_b=0, depth=0, side=0
        )  # fmt: skip
    if not state.angle_a:
        if across is not None:
            raise _refused("--across", "no end that is slanted", "--angle-a with its angle")
        return replace(state, depth=0, side=0)
    if state.depth and across is None:
        return state
    depth = _across(shop, section, across)
    side = side_of_slant(section, depth)
    if side is None:
        accepted = "that end sawn square, and the length that is left: its hand is known where a plan leaves it alone"
        raise _refused("--angle-a", f"a slanted end of {section.designation}", accepted)
    return replace(state, depth=depth, side=side)


def _across(shop: Workshop, section: Section, across: str | None) -> Length:
    from cutplan.units import length_text

    sides = section.mitre_depths
    texts = [length_text(side, shop.printing) for side in sides]
    if across is None:
        if len(sides) > 1:
            said = " or ".join(f'--across "{text}"' for text in texts)
            raise _refused("--angle-a", "a slant, and not which side of the section it runs across", f"also {said}")
        return sides[0]
    try:
        depth = shop.figures.length(across)
    except Refused as refused:
        raise ProblemsFound([Problem.at("--across", refused)]) from None
    if depth not in sides:
        where, accepted = "--across", " or ".join(texts)
        raise ProblemsFound([Problem(where=where, found=across, accepted=accepted, code="rack.slant")])
    return depth


def _refused(where: str, found: str, accepted: str) -> ProblemsFound:
    return ProblemsFound([Problem.statement(where, found, accepted, code="rack.slant")])
