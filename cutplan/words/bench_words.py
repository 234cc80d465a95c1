"""Where a job of a folder stands, and what is done to it next, in the words of its buttons."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from pathlib import Path

from cutplan.problems import Problem
from cutplan.units import counted


class Where(Enum):
    """Where a job of a folder stands; from planned on as the ledger has it."""

    FAULTS = "faults"
    UNPRICED = "no price list yet"
    ASKED = "asked"
    TOGETHER = "together"
    READY = "ready"
    CHANGED = "changed"
    PLANNED = "planned"
    ORDERED = "ordered"
    RECEIVED = "received"
    BEING_CUT = "being cut"
    RECORDED = "recorded"
    CLOSED = "closed"
    UNREADABLE = "unreadable"


@dataclass(frozen=True, slots=True, kw_only=True)
class DeskJob:
    """A job of a folder.

    Parameters
    ----------
    key
        What tells it from the others: its list, or the folder of its plan, from the folder on.
    parts_list, plan_file
        None where there is none.
    problems
        What is wrong with the list, or with the plan file.
    ticked, parts
        Of its plan; 0 of 0 where there is none.
    lists
        The lists of a plan for several, in their order, where all of them are in the folder.
    asks
        What the title of its list says of how often it is made, which nobody has said the meaning of.
    changed
        Roles of the files that are others than those it was planned from.
    planned_in
        Of a list that is planned together with others: the key of that job.
    """

    key: str
    name: str
    where: Where
    parts_list: Path | None = None
    plan_file: Path | None = None
    problems: tuple[Problem, ...] = ()
    ticked: int = 0
    parts: int = 0
    lists: tuple[Path, ...] = ()
    asks: str = ""
    changed: tuple[str, ...] = ()
    planned_in: str = ""

    @property
    def may_be_planned(self) -> bool:
        """Is there a list that can be planned as it is?"""
        return bool(self.parts_list or self.lists) and self.where in (
            Where.ASKED, Where.READY, Where.CHANGED, Where.PLANNED,
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Next:
    """What is done next: the words of the button, and the page of the job it leads to or what it sends; a page of the
    whole desk begins with a stroke.
    """

    words: str
    page: str
    sends: bool = False


NEXT: dict[Where, Next] = {
    Where.FAULTS: Next("Mend the list", "list"),
    Where.UNPRICED: Next("Begin a price list", "/prices"),
    Where.ASKED: Next("Say how many", "job"),
    Where.TOGETHER: Next("See that plan", "job"),
    Where.READY: Next("Plan", "plan", sends=True),
    Where.CHANGED: Next("Plan again", "plan", sends=True),
    Where.PLANNED: Next("See what to buy", "job"),
    Where.ORDERED: Next("It has come", "job"),
    Where.RECEIVED: Next("Cut", "saw"),
    Where.BEING_CUT: Next("Go on cutting", "saw"),
    Where.RECORDED: Next("See what was made", "job"),
    Where.CLOSED: Next("See what it cost", "job"),
    Where.UNREADABLE: Next("See what is wrong", "job"),
}
"""By where a job stands."""


_CALLED = {"parts": "list", "prices": "price list", "rack": "rack file", "workshop": "workshop file"}
"""Files of a job by their role, where they are called otherwise."""


def _listed(names: Iterable[str]) -> str:
    *most, last = names
    return f"{', '.join(most)} and {last}" if most else last


def standing_text(job: DeskJob) -> str:
    """Where a job stands, in a few words."""
    match job.where:
        case Where.FAULTS:
            return f"list has {counted(len(job.problems), 'fault')}"
        case Where.ASKED:
            return "its title says how many"
        case Where.TOGETHER:
            return f"planned in {Path(job.planned_in).name.replace('+', ' + ')}"
        case Where.CHANGED:
            return f"{_listed(_CALLED.get(role, role) for role in job.changed)} changed since it was planned"
        case Where.BEING_CUT if job.ticked >= job.parts:
            return f"all {counted(job.parts, 'part')} cut, to be recorded"
        case Where.BEING_CUT:
            return f"being cut, {job.ticked} of {counted(job.parts, 'part')}"
        case Where.UNREADABLE:
            return "plan cannot be read"
    words: str = job.where.value
    return words


@dataclass(frozen=True, slots=True)
class BlockWords:
    """What a page of blocks of the workshop file is called, what it is for, and the heading of an empty block."""

    title: str
    about: str
    one_more: str


BLOCK_WORDS: dict[str, BlockWords] = {
    "merchant": BlockWords(
        "Merchants", "A merchant who is not here has no charges, and what is bought is fetched.", "One more merchant"
    ),
    "saw": BlockWords("Saws", "Several saws, with what each takes; one saw alone needs no block.", "One more saw"),
    "coat": BlockWords("Coats", "What is put on parts of a finish, for costs and quotes.", "One more coat"),
    "material": BlockWords("Materials", "Materials of the workshop's own, and other densities.", "One more material"),
    "section": BlockWords("Own sections", "Sections that no standard names.", "One more section"),
}
"""By the table that may be repeated."""


NOT_GIVEN: dict[int, tuple[str, str]] = {
    400: ("Not understood", "What was sent is not a form from these pages, or it has too many fields."),
    403: ("Not from here", "Only a page of this server can send changes: open its address again."),
    404: ("Not here", "There is no such page, or its job is not in this folder any more."),
    405: ("Not so", "This address shows a page or takes a form, and was asked for the other."),
    411: ("Not understood", "What is sent has to say how long it is."),
    413: ("Too large", "At most 8 MB can be sent at once."),
    421: ("Not this address", "This server has no such address: open the one it printed when it started."),
    500: (
        "A fault of this program",
        "What went wrong stands where the server was started.",
    ),
}
"""Why no page is given, by the status of the answer: a heading and a sentence."""

PIN_FIRST = ("The PIN first", "It stands on the screen of the desk, under Phones, and is typed at /pin.")
"""Why a phone that was not let in is given nothing, likewise."""

PIN_WRONG = "That is not the PIN on the desk screen."
PIN_SHUT = "Too many wrong PINs. Wait ten minutes, or restart the server."
"""Why the PIN that a phone typed does not let it in."""


def stopped_text(what: str, minutes: int) -> str:
    """That a search was stopped, by somebody, or after so many minutes where these are not 0; it leaves ``what``."""
    after = f" after {counted(minutes, 'minute')}" if minutes else ""
    return f"Stopped{after}: {what} by then."


def found_text(many: int, *, stops: bool) -> str:
    """How much a reader found in a list that is shown as a grid, and whether it is refused for it."""
    if not many:
        return "Nothing is wrong with it."
    found = f"{counted(many, 'finding')}, shown at its cell or below the list."
    return found if stops else f"{found} None of that stops a plan."


LEFT_BY_SPOILED = "By what its spoiled part came to: measure it."
"""Of a left over that is another than planned."""
