"""Names of channels, beams and the tees cut from them: UPN 100, 100PFC, UB 203x133x25, W8x31, T from IPE 100.

Their numbers are no dimensions to compute with: they are the size and often the mass that a table is searched for.
So a name is either found in a table here, or refused with the names that are.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from decimal import Decimal

from cutplan.problems import Refused
from cutplan.sections.names import FILLERS, FINISHES, MOST_OFFERED, Name
from cutplan.sections.rolled import SERIES, TEE, Shape, bare, find, shapes
from cutplan.sections.section import Family

_N = r"(\d+(?:\.\d+)?)"

_FORMS = (
    (rf"IPE{_N}|{_N}IPE", "IPE{0}"),
    (rf"HE([ABM]){_N}", "HE{0}{1}"),
    (rf"HE{_N}([ABM])|{_N}HE([ABM])", "HE{1}{0}"),
    (rf"IPBL{_N}", "HEA{0}"),
    (rf"IPB{_N}", "HEB{0}"),
    (rf"IPBV{_N}", "HEM{0}"),
    (rf"(?:UPN|UNP|U){_N}|{_N}(?:UPN|UNP)", "UPN{0}"),
    (rf"UPE{_N}|{_N}UPE", "UPE{0}"),
    (rf"(?:UK)?PFC{_N}X{_N}X{_N}|{_N}X{_N}X{_N}(?:UK)?PFC", "PFC{0}X{1}X{2}"),
    (rf"PFC{_N}|{_N}PFC", "{0}PFC"),
    (rf"UK?([BC]){_N}X{_N}X{_N}", "U{0}{1}X{2}X{3}"),
    (rf"{_N}X{_N}X{_N}UK?([BC])", "U{3}{0}X{1}X{2}"),
    (rf"{_N}U([BC]){_N}", "{0}U{1}{2}"),
    (rf"(W|S|C|MC){_N}X{_N}", "{0}{1}X{2}"),
    (rf"IS(M[BC]){_N}|(M[BC]){_N}", "IS{0}{1}"),
    (rf"{_N}IS(M[BC])|{_N}(MB)", "IS{1}{0}"),
)
"""How a name without blanks is written, and the key it stands under in the tables."""

_HALVED = re.compile(rf"WT{_N}X{_N}|{_N}([BC])T{_N}")
"""Tees with names of their own: half the depth and half the mass of their beam."""

_CUT = re.compile(r"(?:TEE|T|HALF|1/2)(?:CUT)?(?:FROM|OF)?(?P<after>.+)|(?P<before>.+)TEE")

_SERIES_OF_WORD: dict[str, tuple[Family, tuple[str, ...]]] = {
    **{name: (family, (name,)) for family, names in SERIES.items() for name in names},
    "UKB": (Family.BEAM, ("UB",)),
    "UKC": (Family.BEAM, ("UC",)),
    "HE": (Family.BEAM, ("HEA", "HEB", "HEM")),
    "IPBL": (Family.BEAM, ("HEA",)),
    "IPB": (Family.BEAM, ("HEB",)),
    "IPBV": (Family.BEAM, ("HEM",)),
    "MB": (Family.BEAM, ("ISMB",)),
    "UKPFC": (Family.CHANNEL, ("PFC",)),
    "UNP": (Family.CHANNEL, ("UPN",)),
    "U": (Family.CHANNEL, ("UPN",)),
    **dict.fromkeys(("CHANNEL", "CHANNELS"), (Family.CHANNEL, SERIES[Family.CHANNEL])),
    **dict.fromkeys(("BEAM", "BEAMS", "JOIST", "RSJ"), (Family.BEAM, SERIES[Family.BEAM])),
}

_MASS_LAST = {"PFC": "kg/m", "UB": "kg/m", "UC": "kg/m", **dict.fromkeys(("W", "S", "C", "MC"), "lb/ft")}
"""Series whose last number is the mass."""

_OPEN = frozenset({"CHANNEL", "CHANNELS", "BEAM", "BEAMS", "JOIST", "RSJ", "SECTION"})
_TEE_WORDS = frozenset({"T", "TEE", "HALF", "CUT", "FROM", "OF"})
_DROPPED = FILLERS | FINISHES.keys() | _OPEN
_ONLY_THERE = re.compile(r"MC.*|MB.*|.*\dMB")
_LETTERS = re.compile(r"[A-Z]+")


def read_rolled(text: str, capitals: str) -> Name | None:
    """The channel, beam or tee that a name means; None when it is a name of another family.

    Parameters
    ----------
    text
        As typed.
    capitals
        The same as :func:`cutplan.sections.names.plain_capitals` leaves it, with points for decimals.

    Raises
    ------
    Refused
        When it names a series but no size of its tables; names that are in them are offered.
    """
    letters = [word for word in _LETTERS.findall(capitals) if word not in _DROPPED and word != "X"]
    open_words = _OPEN.intersection(_LETTERS.findall(capitals))
    if not open_words and not any(word in _SERIES_OF_WORD or word in _TEE_WORDS or _is_tee(word) for word in letters):
        return None
    compact = "".join(word for word in re.sub(r"[,;]", " ", capitals).split() if word not in _DROPPED)
    compact = re.sub(r"(?<=\d)BY(?=\d)", "X", compact)
    finishes = {FINISHES[word] for word in capitals.split() if word in FINISHES}
    finish = finishes.pop() if len(finishes) == 1 else ""
    parent = _parent(compact)
    if parent:
        return _tee(text, parent, finish)
    key = _key(compact)
    shape = find(key) if key else None
    if shape is not None:
        return _named(shape, finish, bool(_ONLY_THERE.fullmatch(compact)))
    words = [word for word in (*letters, *open_words) if word in _SERIES_OF_WORD]
    known = _SERIES_OF_WORD.keys() | _TEE_WORDS | {"A", "B", "M"}
    strangers = [word for word in letters if word not in known]
    if strangers or not (words or _TEE_WORDS.intersection(letters)):
        return None
    if not words:
        raise _tee_refusal(text, ())
    raise _refusal(text, compact, words[0])


def _is_tee(word: str) -> bool:
    return word in ("WT", "BT", "CT")


def _named(shape: Shape, finish: str, only_there: bool) -> Name:
    return Name(
        family=shape.family,
        label=shape.designation,
        standard=shape.standard,
        finish=finish,
        only_there=only_there or shape.series == "MC",
    )


def _key(compact: str) -> str:
    """The key of the tables that a name without blanks stands for; blank when it has no known form."""
    for pattern, key in _FORMS:
        match = re.fullmatch(pattern, compact)
        if match:
            return bare(key.format(*(group for group in match.groups() if group)))
    return ""


def _parent(compact: str) -> str:
    """What a tee is cut from, as typed without blanks; blank when the name is no tee."""
    halved = _HALVED.fullmatch(compact)
    if halved:
        depth, letter, mass = (halved[1], "", halved[2]) if halved[1] else (halved[3], halved[4], halved[5])
        twice = [f"{2 * Decimal(number):f}" for number in (depth, mass)]
        return bare(f"W{'X'.join(twice)}" if halved[1] else f"{twice[0]}U{letter}{twice[1]}")
    cut = _CUT.fullmatch(compact)
    inner = (cut["after"] or cut["before"]) if cut else ""
    return inner if inner and (_key(inner) or inner[:1].isdigit()) else ""


def _tee(text: str, parent: str, finish: str) -> Name:
    key = _key(parent)
    shape = find(key) if key else None
    if shape is None or shape.family is not Family.BEAM:
        among = [shape for shape in shapes(Family.BEAM).values() if shape.series in _series(parent)]
        raise _tee_refusal(text, (_offers(parent, among) or _nearest(_numbers(parent), among))[:MOST_OFFERED])
    return Name(family=Family.TEE, label=f"{TEE}{shape.designation}", standard=shape.standard, finish=finish)


def _tee_refusal(text: str, beams: Sequence[str]) -> Refused:
    offered = [f"{TEE}{name}" for name in beams or ("IPE 100", "UB 203x133x25", "W8X31")]
    return Refused(text, f"the beam that the tee is cut from, such as {' or '.join(offered)}", code="section.tee")


def _series(compact: str) -> tuple[str, ...]:
    for word in _LETTERS.findall(compact):
        if word in _SERIES_OF_WORD:
            return _SERIES_OF_WORD[word][1]
    return ()


def _numbers(text: str) -> list[str]:
    return re.findall(r"\d+(?:\.\d+)?", text)


def _refusal(text: str, compact: str, word: str) -> Refused:
    family, series = _SERIES_OF_WORD[word]
    among = [shape for shape in shapes(family).values() if shape.series in series]
    numbers = _numbers(compact)
    offered = _offers(compact, among)
    hint = ""
    if word in _OPEN:
        hint = f"a {family.value.lower()} is named by its series"
    elif series[0] in _MASS_LAST and offered:
        unit = _MASS_LAST[series[0]]
        hint = f"the name ends with the mass in {unit}"
        if len(numbers) == len(_numbers(offered[0])):
            hint = f"the last number is the mass in {unit}, not a thickness, and no such size has {numbers[-1]}"
    if not offered:
        offered = _offers(compact, shapes(family).values()) or _nearest(numbers, among)
    return Refused(
        text, f"a size of the tables here, such as {' or '.join(offered[:MOST_OFFERED])}", hint, code="section.size"
    )


def _offers(compact: str, among: Iterable[Shape]) -> list[str]:
    """The sizes that share the leading numbers of a name: one of each series, or those nearest by the last number."""
    numbers = _numbers(compact)
    fitting = [shape for shape in among if numbers and _numbers(shape.designation)[0] == numbers[0]]
    if len(numbers) > 1:
        closer = [shape for shape in fitting if _numbers(shape.designation)[:2] == numbers[:2]]
        fitting = closer or fitting
    firsts = {(shape.series, shape.standard): shape for shape in reversed(fitting)}
    if len(firsts) > 1:
        return [shape.designation for shape in reversed(firsts.values())]
    return _nearest(numbers[-1:] if len(numbers) > 1 else [], fitting, -1)


def _nearest(numbers: list[str], among: list[Shape], place: int = 0) -> list[str]:
    """The sizes whose number at ``place`` is nearest to the one typed, in the order of the tables."""
    if numbers:
        wanted = Decimal(numbers[0])
        distance = {id(shape): abs(Decimal(_numbers(shape.designation)[place]) - wanted) for shape in among}
        chosen = sorted(among, key=lambda shape: distance[id(shape)])[:MOST_OFFERED]
        among = [shape for shape in among if shape in chosen]
    return [shape.designation for shape in among]
