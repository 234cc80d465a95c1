"""The size of a hole as typed: a diameter, or a bolt with what the hole is for."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from cutplan.drilling.size_tables import FITS, Thread, clearances, threads
from cutplan.problems import Refused
from cutplan.units import Length, names_unit, parse_length, tidy_text

HOLE_FORMS = "a diameter such as 13.5 or 9/16 in, or a bolt such as M12 clear, M10 tapped or 1/2 in clear"

_PURPOSES = {
    **dict.fromkeys(("clear", "clearance", "clr"), "clear"),
    **dict.fromkeys(("tapped", "tap", "threaded", "thread"), "tapped"),
}
_FIT_WORDS = {
    **dict.fromkeys(("close", "fine"), 0),
    **dict.fromkeys(("medium", "normal"), 1),
    **dict.fromkeys(("loose", "coarse"), 2),
}
_FITS_OF = {"ISO 273": ("fine", "medium", "coarse"), "ASME B18.2.8": ("close", "normal", "loose")}
_METRIC = re.compile(r"M\s*(?P<size>\d+(?:\.\d+)?)(?:\s*[x×]\s*(?P<pitch>\d+(?:\.\d+)?))?", re.IGNORECASE)
_INCH = re.compile(
    r"(?P<size>#\s*\d+|(?:\d+(?:\s+|-))?\d+\s*/\s*\d+|\d+)\s*(?P<unit>\"|in\b|inch\b)?"
    r"(?:\s*-\s*(?P<pitch>\d+))?\s*(?P<unit2>\"|in\b|inch\b)?(?:\s*(?:UNC|UNF)\b)?",
    re.IGNORECASE,
)
_DIAMETER_WORDS = re.compile(r"^(?:diameter|dia\.?|[øØ⌀∅])\s*|\s*(?:diameter|dia\.?|[øØ⌀∅]|hole)$", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class HoleSize:
    """The size of a hole.

    Parameters
    ----------
    diameter
        What is drilled. [nm]
    name
        ``M12 clear``, ``M10x1.5 tapped``, ``1/2-13 tapped``; of a plain diameter its text where that is in another unit
        than the workshop's, ``1/2 in``, else blank.
    standard
        Where the diameter of a named hole comes from, e.g. ``ISO 273, medium``; blank for a plain diameter.
    """

    diameter: Length
    name: str = ""
    standard: str = ""


def read_hole_size(text: str, default_unit: str = "mm") -> HoleSize:
    """The size of a hole as typed.

    Parameters
    ----------
    text
        ``13.5``, ``9/16 in``, ``M12 clear``, ``M12 clear close``, ``M10 tapped``, ``M10x1.25 tapped``,
        ``1/2 in clear``, ``1/2-13 tapped``, ``#10 clear``. A bolt without a fit gets the medium one
        of ISO 273, or the normal one of ASME B18.2.8; a thread without a pitch is the coarse one.
    default_unit
        Unit of a bare diameter.

    Raises
    ------
    Refused
        When the text is neither, or no table here lists the bolt.
    """
    tidy = _plain_spelling(text)
    words = tidy.split()
    purposes = {_PURPOSES[word.lower()] for word in words if word.lower() in _PURPOSES}
    fits = {_FIT_WORDS[word.lower()] for word in words if word.lower() in _FIT_WORDS}
    bolt = " ".join(word for word in words if word.lower() not in (*_PURPOSES, *_FIT_WORDS, "bolt", "for"))
    if not purposes and not fits and not re.match(r"[M#]\s*\d", tidy, re.IGNORECASE):
        return HoleSize(diameter=_diameter(tidy, text, default_unit), name=_typed_elsewhere(tidy, default_unit))
    metric = _METRIC.fullmatch(bolt)
    inch = None if metric else _INCH.fullmatch(bolt)
    match = metric or inch
    if match is None or len(purposes) > 1 or len(fits) > 1:
        raise Refused(text, HOLE_FORMS, code="hole.unreadable")
    if not purposes:
        bare = f"M{match['size']}" if metric else " ".join(match["size"].split())
        raise Refused(
            text, HOLE_FORMS, f"write {bare} clear for a bolt to pass, {bare} tapped for a thread", code="hole.purpose"
        )
    name = f"M{_plain(match['size'])}" if metric else _inch_name(match["size"])
    if purposes == {"clear"}:
        if match["pitch"]:
            raise Refused(text, HOLE_FORMS, "a clearance hole has no pitch", code="hole.purpose")
        return _clear(text, name, fits.pop() if fits else FITS.index("medium"))
    if fits - {FITS.index("loose"), FITS.index("close")}:
        raise Refused(text, HOLE_FORMS, "a tapped hole has no fit", code="hole.purpose")
    if fits:
        raise Refused(text, HOLE_FORMS, "name the pitch of a thread: M10x1.25 tapped, 1/2-20 tapped", code="hole.pitch")
    return _tapped(text, name, match["pitch"] or "", metric is not None)


def _plain_spelling(text: str) -> str:
    """Words apart, so that ``M12 clearance hole`` and ``M12clear`` say the same."""
    tidy = re.sub(r"(?<=[\d\"])(?=(?:clear|clr|tap|thread))", " ", tidy_text(text), flags=re.IGNORECASE)
    return " ".join(re.sub(r"[()]", " ", _DIAMETER_WORDS.sub("", tidy)).split()) if tidy else ""


def _diameter(tidy: str, typed: str, default_unit: str) -> Length:
    try:
        return parse_length(tidy, default_unit)
    except Refused as refused:
        raise Refused(typed, HOLE_FORMS, refused.hint, code=refused.code) from None


def _typed_elsewhere(tidy: str, default_unit: str) -> str:
    """A diameter in inches typed in a workshop of millimetres, or the other way about, as it was typed; else blank.

    It names the drill that is meant.
    """
    inches = re.search(r"\"|''|in|ft|'", tidy) is not None
    return tidy if names_unit(tidy) and inches != (default_unit in ("in", "ft")) else ""


def _plain(number: str) -> str:
    """``12.0`` is ``12``."""
    return number.rstrip("0").rstrip(".") if "." in number else number


def _inch_name(size: str) -> str:
    """``1 1/2``, ``1/2``, ``#10``, whatever the blanks and hyphens between."""
    return " ".join(re.sub(r"\s*/\s*", "/", size.replace("# ", "#").replace("-", " ")).split())


def _clear(text: str, bolt: str, fit: int) -> HoleSize:
    known = clearances().get(bolt)
    if known is None:
        raise Refused(text, f"a bolt of {_listed(bolt, clearances())}, or the diameter itself", code="hole.bolt")
    word = _FITS_OF[known.standard][fit]
    usual = fit == FITS.index("medium")
    inches = " in" if not bolt.startswith(("M", "#")) else ""
    return HoleSize(
        diameter=known.diameters[fit],
        name=f"{bolt}{inches} clear{'' if usual else ' ' + word}",
        standard=f"{known.standard}, {word}",
    )


def _tapped(text: str, bolt: str, pitch: str, metric: bool) -> HoleSize:
    of_bolt = [thread for thread in threads() if thread.bolt == bolt]
    if not of_bolt:
        names = dict.fromkeys(thread.bolt for thread in threads())
        raise Refused(text, f"a thread of {_listed(bolt, names)}, or the diameter of the tap drill", code="hole.thread")
    wanted = _plain(pitch) if pitch else of_bolt[0].pitch
    for thread in of_bolt:
        if thread.pitch == wanted:
            return HoleSize(
                diameter=thread.drill, name=f"{_thread_name(thread)} tapped", standard=_drill_source(thread)
            )
    accepted = " or ".join(f"{_thread_name(thread)} tapped" for thread in of_bolt)
    raise Refused(text, f"{accepted}, or the diameter of the tap drill", code="hole.thread")


def _thread_name(thread: Thread) -> str:
    return f"{thread.bolt}{'x' if thread.bolt.startswith('M') else '-'}{thread.pitch}"


def _drill_source(thread: Thread) -> str:
    return thread.standard if thread.bolt.startswith("M") else "common tap drill chart"


def _listed(bolt: str, names: Iterable[str]) -> str:
    """The bolts of the same kind as the one typed, smallest and largest."""
    kind = "M" if bolt.startswith("M") else "#" if bolt.startswith("#") else ""
    same = [name for name in names if name.startswith(kind) and (kind or name[0].isdigit())]
    return f"{same[0]} to {same[-1]}"
