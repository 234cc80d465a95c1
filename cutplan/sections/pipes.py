"""Names of pipe, which goes by its bore: 40 NB medium, 1-1/2" sch 40 pipe, Pipe1-1/2STD.

The bore is no dimension that can be measured (a 1 inch pipe is 33.7 mm outside), so a class or a schedule has to
tell the wall; without one the name is refused, and so is pipe by outside diameter, which is round tube here.
"""

from __future__ import annotations

import re
from fractions import Fraction

from cutplan.problems import Refused
from cutplan.sections.listed_sizes import pipe_names, pipe_size
from cutplan.sections.names import FILLERS, FINISHES, Name
from cutplan.sections.section import Family
from cutplan.sections.standards import US_PIPE, US_PIPE_SIZES
from cutplan.sections.values import in_mm

BORE_OF_INCHES = {
    Fraction(1, 2): 15,
    Fraction(3, 4): 20,
    Fraction(1): 25,
    Fraction(5, 4): 32,
    Fraction(3, 2): 40,
    Fraction(2): 50,
    Fraction(5, 2): 65,
    Fraction(3): 80,
    Fraction(4): 100,
}
"""Nominal bore in mm of a pipe called by inches (ISO 6708 and the EN 10255 table)."""

CLASSED = "EN 10255"
"""The standard whose bores and classes are offered."""

_WORDS = frozenset({"PIPE", "PIPES", "NB", "DN", "NPS", "SCH", "SCHEDULE"})
_CLASSES = {
    **dict.fromkeys(("LIGHT", "A"), "light"),
    **dict.fromkeys(("MEDIUM", "MED", "B"), "medium"),
    **dict.fromkeys(("HEAVY", "C"), "heavy"),
}
_WEIGHTS = {"STD": "Sch 40", "XS": "Sch 80", "XXS": "XXS", "XH": "Sch 80", "XXH": "XXS"}
"""Wall names by weight; up to 6 inch STD is schedule 40 and XS schedule 80 (ASME B36.10M, from memory)."""

_SIZE = r"(?P<size>\d+\s*(?:-|\s)\s*\d+/\d+|\d+/\d+|\d+\.\d+|\.\d+|\d+)"
_FORM = re.compile(
    rf"(?P<before>NPS|NB|DN|PIPE)?\s*{_SIZE}\s*(?P<inch>\"|IN|INCH|INCHES)?(?P<mm>MM)?\s*(?P<after>NB|DN|NPS)?\b"
)
_SCHEDULE = re.compile(r"SCH(?:EDULE)?\.?\s*(?P<number>\d+)")
_AISC = re.compile(r"PIPE\s*[\d\s/.-]+(?:STD|XS|XXS)")
"""The form in which the AISC tables, with their design walls, call pipe: Pipe1-1/2STD."""
_BY_DIAMETER = re.compile(r"(\d+(?:\.\d+)?)\s*X\s*(\d+(?:\.\d+)?)")

BY_BORE = "pipe by its bore with its class or schedule"


def read_pipe(text: str, capitals: str) -> Name | None:
    """The pipe that a name means; None when it is a name of another family.

    Parameters
    ----------
    text
        As typed.
    capitals
        The same as :func:`cutplan.sections.names.plain_capitals` leaves it, with points for decimals.

    Raises
    ------
    Refused
        When bore, class or schedule is missing, or no table has the size.
    """
    words = re.findall(r"[A-Z]+", capitals)
    if not _WORDS.intersection(words):
        return None
    finishes = {FINISHES[word] for word in words if word in FINISHES}
    finish = finishes.pop() if len(finishes) == 1 else ""
    left = " ".join(word for word in re.sub(r"[,;]", " ", capitals).split() if word not in FILLERS | FINISHES.keys())
    by_diameter = _BY_DIAMETER.search(left)
    if by_diameter:
        offered = f"CHS {by_diameter[1]}x{by_diameter[2]}"
        raise Refused(text, f"{BY_BORE}, or round tube by its outside diameter, such as {offered}", code="section.pipe")
    standard = US_PIPE if _AISC.fullmatch(left) else US_PIPE_SIZES
    schedule, left = _schedule_of(left)
    classes = {_CLASSES[word] for word in re.findall(r"[A-Z]+", left) if word in _CLASSES}
    size = _FORM.search(left)
    value = _number(size["size"]) if size else None
    if size is None or value is None:
        raise Refused(text, f"{BY_BORE}, such as PIPE 40 NB medium or PIPE NPS 1-1/2 Sch 40", code="section.pipe")
    strange = set(re.findall(r"[A-Z]+", _FORM.sub(" ", left, count=1))) - _CLASSES.keys() - {"CLASS", "GRADE"} - _WORDS
    if strange:
        raise Refused(
            text,
            f"{BY_BORE}, such as PIPE 40 NB medium",
            f'the word "{min(strange).lower()}" is not known here',
            code="section.unknown",
        )
    inches = _in_inches(size, value, bool(schedule))
    if bool(schedule) == bool(classes) or len(classes) > 1:
        why = "class or schedule is missing" if not schedule and not classes else "a class or a schedule, not both"
        raise Refused(
            text,
            f"{BY_BORE}, such as {_both(value, inches)}",
            f"{why} ({_outside(value, inches)})",
            code="section.pipe",
        )
    if schedule:
        inch = value if inches else next((inch for inch, bore in BORE_OF_INCHES.items() if bore == value), value)
        return Name(family=Family.PIPE, label=_scheduled(text, inch, schedule), finish=finish, standard=standard)
    bore = BORE_OF_INCHES.get(value) if inches else value
    label = f"PIPE {bore} NB {classes.pop()}"
    if pipe_size(label, CLASSED) is None:
        bores = sorted(BORE_OF_INCHES.values())
        raise Refused(
            text, f"a nominal bore of {', '.join(map(str, bores))} mm, such as PIPE 40 NB medium", code="section.size"
        )
    return Name(family=Family.PIPE, label=label, finish=finish)


def _schedule_of(left: str) -> tuple[str, str]:
    """The schedule or weight named, blank when none is, and the name without it."""
    schedule = _SCHEDULE.search(left)
    if schedule:
        return f"Sch {int(schedule['number'])}", f"{left[: schedule.start()]} {left[schedule.end() :]}"
    weight = re.search(r"(?<![A-Z])(XXS|XXH|XS|XH|STD)(?![A-Z])", left)
    if weight:
        return _WEIGHTS[weight[1]], f"{left[: weight.start()]} {left[weight.end() :]}"
    return "", left


def _number(size: str) -> Fraction | None:
    try:
        return sum((Fraction(piece) for piece in size.replace("-", " ").split()), Fraction(0)) or None
    except ZeroDivisionError:
        return None


def _in_inches(size: re.Match[str], value: Fraction, scheduled: bool) -> bool:
    """A mark, a fraction, the word NPS, a schedule, or a bore smaller than any in millimetres means inches."""
    around = {size["before"], size["after"]}
    if size["mm"] or "DN" in around:
        return False
    marked = size["inch"] or "NPS" in around or (scheduled and "NB" not in around)
    return bool(marked or value.denominator != 1 or value <= 4)


def _inch_text(value: Fraction) -> str:
    whole, rest = divmod(value, 1)
    return "-".join(str(part) for part in (whole, rest) if part)


def _both(value: Fraction, inches: bool) -> str:
    """The same bore with a class and with a schedule."""
    if not inches:
        value = next((inch for inch, bore in BORE_OF_INCHES.items() if bore == value), Fraction(3, 2))
    if value not in BORE_OF_INCHES:
        value = Fraction(3, 2)
    return f"PIPE {BORE_OF_INCHES[value]} NB medium or PIPE NPS {_inch_text(value)} Sch 40"


def _outside(value: Fraction, inches: bool) -> str:
    bore = BORE_OF_INCHES.get(value) if inches else value
    size = pipe_size(f"PIPE {bore} NB medium", CLASSED)
    if size is None:
        return "1 inch pipe is 33.7 mm outside"
    shown = f"{_inch_text(value)} inch" if inches else f"{value} NB"
    return f"{shown} pipe is {in_mm(size.diameter)} outside"


def _scheduled(text: str, inch: Fraction, schedule: str) -> str:
    """The one spelling of a pipe by schedule; raises Refused when no table has it."""
    label = f"PIPE NPS {_inch_text(inch)} {schedule}"
    if pipe_size(label, US_PIPE_SIZES) is None:
        near = [name for name in pipe_names(US_PIPE_SIZES) if name.startswith(f"PIPE NPS {_inch_text(inch)} ")]
        near = near or ["PIPE NPS 1 Sch 40", "PIPE NPS 1-1/2 Sch 40"]
        raise Refused(text, f"a size and schedule of the tables here, such as {' or '.join(near)}", code="section.size")
    return label
