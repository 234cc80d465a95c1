"""A Job: parts wanted, stock lengths on sale, offcuts on hand, the workshop's settings, and the files it was read from.

Each piece checks itself; what only the whole can know is checked by the reader,
which can place it. A Job and a Plan are all that the rooms share.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from cutplan.fields import COUNT, said
from cutplan.model.offcut import Offcut
from cutplan.model.others import OtherLine
from cutplan.model.part import Part
from cutplan.model.stock_length import StockLength
from cutplan.model.workshop import Workshop
from cutplan.problems import Problem


@dataclass(frozen=True, slots=True, kw_only=True)
class InputFile:
    """A file that was read: its role, its name as typed and the SHA-256 of its bytes."""

    role: str
    name: str
    sha256: Annotated[str, said("SHA-256 of its bytes, in hexadecimal")]


DEALT = "assumed.dealt"
"""Code of what was assumed of bars that several saws could cut, which depends on all parts of the job."""


REST_OF = "plan"
"""Role, among the files of a job, of the plan that it is the rest of; noted with that plan's digest."""


@dataclass(frozen=True, slots=True)
class GivenCopy:
    """The highest copy of a part given so far."""

    part: str
    copy: Annotated[int, COUNT("the highest copy of the part given so far")]


@dataclass(frozen=True, slots=True, kw_only=True)
class Earlier:
    """The plan of which a job is the rest: its numbers are counted on, and no number is given twice.

    Parameters
    ----------
    bars
        The highest number of a bar given so far.
    copies
        The highest copy given so far, by part mark.
    stay
        Numbers of the bars that stay as they were: with their number, their cuts and the copies printed on labels.
    """

    bars: Annotated[int, COUNT("the highest number of a bar given so far")]
    copies: Annotated[tuple[GivenCopy, ...], said("by part")] = ()
    stay: Annotated[tuple[Annotated[int, COUNT], ...], said("numbers of the bars that stay as they were")] = ()

    def __post_init__(self) -> None:
        if any(not 1 <= number <= self.bars for number in self.stay):
            raise ValueError("a bar that stays has a number that was given")

    def copy(self, mark: str) -> int:
        """The highest copy of a part given so far; 0 where there is none."""
        return next((each.copy for each in self.copies if each.part == mark), 0)


@dataclass(frozen=True, slots=True)
class Assumption:
    """What was assumed, in a sentence; ``code`` is one of :data:`cutplan.problem_codes.CODES`."""

    code: Annotated[str, said("what is assumed in a word for programs")]
    text: Annotated[str, said("the sentence")]


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """All that a plan answers.

    ``others`` is bought and weighed but not cut. ``assumptions`` are what was assumed;
    ``warnings`` are placed findings that do not stop a plan; ``silenced`` counts those that are not reported, because
    somebody has looked at their line. ``earlier`` is there where the job is the rest of one that was begun.
    """

    name: str
    parts: tuple[Part, ...]
    offers: tuple[StockLength, ...]
    offcuts: tuple[Offcut, ...] = ()
    others: tuple[OtherLine, ...] = ()
    workshop: Workshop
    files: tuple[InputFile, ...] = ()
    assumptions: tuple[Assumption, ...] = ()
    warnings: tuple[Problem, ...] = ()
    silenced: int = 0
    earlier: Earlier | None = None

    def __post_init__(self) -> None:
        for what, names in (
            ("mark", [part.mark for part in self.parts]),
            ("offer", [offer.id for offer in self.offers]),
            ("offcut mark", [offcut.mark for offcut in self.offcuts]),
        ):
            if len(set(names)) != len(names):
                raise ValueError(f"a {what} is used twice")
        if not self.parts:
            raise ValueError("a job has at least one part")
        saws = {saw.name for saw in self.workshop.saws} or {""}
        if any(part.saw not in saws for part in self.parts):
            raise ValueError("a part is cut on one of the workshop's saws")

    @property
    def assumed(self) -> tuple[str, ...]:
        """The sentences of the assumptions."""
        return tuple(one.text for one in self.assumptions)
