"""plan.html: the printed plan as one file that any browser shows and prints; it asks nothing of a network.

The sheets are those of plan.pdf, word for word, and the drawings are the same SVG. Nothing depends on a background
colour, which browsers leave out when they print; the line with job and plan number is repeated on every printed page.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from html import escape
from pathlib import Path
from typing import Any

from cutplan.model import Job, Plan
from cutplan.model.joining import BETWEEN
from cutplan.reports.lettering import printable
from cutplan.reports.paper.cut_sheets import bars_text
from cutplan.reports.paper.plan_pdf import plan_data
from cutplan.reports.rows import Rows, rows_of

_LOOK = """
:root { color-scheme: light dark; }
body { font: 15px/1.35 "DejaVu Sans Condensed", "DejaVu Sans", Verdana, sans-serif; max-width: 60em; margin: 0 auto;
  padding: 0 .6em; overflow-wrap: break-word; }
table { border-collapse: collapse; width: 100%; } table.frame > * > tr > td { padding: 0; border: 0; }
header { border-bottom: 2px solid; display: flex; flex-wrap: wrap; gap: .3em 2em; font-size: 18px; padding: .4em 0; }
header b { flex: 1; }
h1 { font-size: 26px; margin: 1.2em 0 .3em; } h2 { font-size: 19px; border-bottom: 2px solid; margin: 1.2em 0 .4em; }
h3 { font-size: 18px; display: inline-block; margin: .6em .6em .3em 0; }
h1, h2, h3, :is(h1, h2, h3) + p { break-after: avoid; } :is(h1, h2, h3) + p { break-inside: avoid; }
.tab, h3 { border: 2px solid; padding: 0 .4em; }
th { font-size: 12px; text-align: left; vertical-align: bottom; border-bottom: 2px solid; }
th, td { padding: .25em .5em .25em .2em; } td { border-bottom: 1px solid; vertical-align: middle; }
.right { text-align: right; } .nowrap { white-space: nowrap; }
.length { font-size: 28px; font-weight: bold; } .running { font-size: 18px; }
.mark { font-size: 18px; font-weight: bold; } small { font-size: 12px; } tr, .box, .nobr { break-inside: avoid; }
.nobr { display: inline-block; margin-right: .9em; }
.box { display: inline-block; width: 1.2em; height: 1.2em; border: 1.5px solid; margin: 0 .2em;
  vertical-align: middle; }
.set { border: 1.5px solid; font-weight: bold; font-size: 12px; padding: 0 .2em; }
.write { display: inline-block; min-width: 5em; border-bottom: 1px solid; }
.framed { border: 2px solid; padding: .5em; margin: .5em 0; } td.framed { border: 2px solid; padding: .4em; }
svg { width: 100%; height: auto; background: #fff; color: #000; } .small svg { width: 4.5em; }
svg.outline { width: 52px; height: 18px; }
.narrow { display: none; }
section.fresh { break-before: page; } section.bar { break-inside: avoid; margin-bottom: 1.2em; }
@media (max-width: 40em) { .wide { display: none; } .narrow { display: block; }
  .cells td { display: inline-block; border: 0; }
  .cells tr { display: block; padding: .3em 0; border-bottom: 1px solid; }
  .cells thead { position: absolute; left: -99em; }
  .cells td[data-head]::before { content: attr(data-head) " "; font-size: 12px; }
  .cells td.framed { display: block; border: 2px solid; }
  .length { font-size: 24px; } }
@page { margin: 12mm 10mm; }
@media print { body { max-width: none; margin: 0; padding: 0; color: #000; } }
"""


_MOST_LINKS = 12
"""Bars and cards that a line leads to; more of them would be longer than the line. Own choice."""


def write_plan_html(job: Job, plan: Plan, path: Path, fingerprint: str) -> None:
    """Write the page; raises OSError when the file cannot be written."""
    path.write_bytes(plan_html(job, plan, fingerprint).encode("utf-8", "replace"))


def plan_html(job: Job, plan: Plan, fingerprint: str) -> str:
    """The page; ``fingerprint`` as for the printed plan."""
    rows = rows_of(job, plan)
    data = plan_data(rows, fingerprint, on_screen=True)
    _link(data["sheets"], rows)
    head = f"<b>{escape(data['job'])}</b><span>plan <b>{escape(fingerprint)}</b></span>"
    return page_of(data["title"], head, data["sheets"])


def page_of(title: str, head: str, sheets: Iterable[Mapping[str, Any]]) -> str:
    """Sheets as one page; ``head``, which is HTML, is repeated on every page that is printed."""
    return "\n".join(
        [
            '<!DOCTYPE html><html lang="en"><head><meta charset="utf-8">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f"<title>{escape(title)}</title><style>{_LOOK}</style></head><body>",
            '<table class="frame" role="presentation"><thead><tr><td>'
            f"<header>{head}</header></td></tr></thead><tbody><tr><td>",
            *(line for sheet in sheets for line in _sheet(sheet)),
            "</td></tr></tbody></table></body></html>",
            "",
        ]
    )


def sheets_html(job: Job, plan: Plan, fingerprint: str) -> tuple[tuple[str, str], ...]:
    """The sheets of the page one by one, each with its title and without a look of its own."""
    rows = rows_of(job, plan)
    data = plan_data(rows, fingerprint, on_screen=True)
    _link(data["sheets"], rows)
    return tuple((sheet["title"], "\n".join(_sheet(sheet))) for sheet in data["sheets"])


def _link(sheets: Sequence[dict[str, Any]], rows: Rows) -> None:
    """Let order lines, pieces to fetch and parts lead to their bars and cards, where these are printed."""
    drawn = [(sheet, card) for sheet in sheets if sheet["kind"] == "marking" for card in sheet["cards"]]
    cards: dict[str, str] = {}
    for number, (sheet, card) in enumerate(drawn):
        card["anchor"] = f"card-{number}"
        cards |= {_full(mark["mark"], sheet): card["anchor"] for mark in card["marks"]}
    by_origin: dict[str, list[tuple[str, str]]] = defaultdict(list)
    by_part: dict[str, list[tuple[str, str]]] = defaultdict(list)
    for block in rows.blocks:
        bar = (bars_text(block).lower(), f"bar-{block.bars[0]}")
        by_origin[block.origin].append(bar)
        for mark in dict.fromkeys(printable(cut.mark) for cut in block.cuts):
            by_part[mark].append(bar)
    for mark, anchor in cards.items():
        by_part[mark].append(("card", anchor))
    orders = {printable(row.text): by_origin[row.line.offer] for ordered in rows.orders for row in ordered}
    fetched = {printable(row.mark): by_origin[row.mark] for row in rows.fetch}
    leading = {"Buy": orders, "Fetch from the rack": fetched, "Parts by assembly": by_part}
    for sheet in sheets:
        to = by_part if sheet.get("of") else leading.get(sheet["title"], {})
        for part in sheet["parts"] if sheet["kind"] == "listing" and to else ():
            part["rows"] = [[_leading(cell, to, sheet) for cell in row] for row in part["rows"]]


def _full(mark: str, sheet: Mapping[str, Any]) -> str:
    """What a mark of a sheet is called where several jobs meet."""
    return f"{sheet['of']}{BETWEEN}{mark}" if sheet.get("of") else mark


def _leading(cell: Any, to: Mapping[str, Sequence[tuple[str, str]]], sheet: Mapping[str, Any]) -> Any:
    """A text with links behind it, where it names something they lead on from."""
    text = cell if isinstance(cell, str) else cell["text"] if cell["kind"] == "text" else ""
    links = to.get(_full(text, sheet))
    if not links:
        return cell
    return {"kind": "linked", "text": text, "bold": not isinstance(cell, str), "links": links[:_MOST_LINKS]}


def _sheet(sheet: Mapping[str, Any]) -> Iterable[str]:
    place = f' id="{sheet["anchor"]}"' if sheet["anchor"] else ""
    step = f'<span class="tab">{sheet["step"]}</span> ' if sheet["step"] else ""
    fresh = ' class="fresh"' if sheet.get("fresh") else ""
    yield f"<section{place}{fresh}><h1>{step}{escape(sheet['title'])}</h1>"
    yield from _paragraphs(sheet["lines"])
    yield from _KINDS[sheet["kind"]](sheet)
    yield "</section>"


def _paragraphs(lines: Iterable[str]) -> list[str]:
    return [f"<p>{escape(line)}</p>" for line in lines]


def _front(sheet: Mapping[str, Any]) -> Iterable[str]:
    yield "<table>"
    for name, words in sheet["facts"]:
        yield f'<tr><th scope="row">{escape(name)}</th><td><b>{escape(words)}</b></td></tr>'
    yield "</table>"
    yield from _paragraphs(sheet["proof"])
    yield "<ol>"
    for entry in sheet["index"]:
        yield f'<li><a href="#{entry["anchor"]}">{escape(entry["title"])}</a></li>'
    yield "</ol>"
    for note in sheet["notes"]:
        yield f'<div class="framed"><b>{escape(note["title"])}</b>'
        yield from _paragraphs(note["lines"])
        yield "</div>"


def _listing(sheet: Mapping[str, Any]) -> Iterable[str]:
    for part in sheet["parts"]:
        yield from _part(part)


def _part(part: Mapping[str, Any]) -> Iterable[str]:
    if part["title"]:
        yield f"<h2>{escape(part['title'])}</h2>"
    yield from _paragraphs(part["before"])
    if part["picture"]:
        yield part["picture"]
    if part["rows"]:
        yield '<table class="cells">'
        yield from _head(part["heads"], part["sides"])
        for row in part["rows"]:
            cells = zip(row, part["sides"], part["heads"], strict=True)
            yield "<tr>" + "".join(_data_cell(*cell) for cell in cells) + "</tr>"
        yield "</tbody></table>"
    yield from _paragraphs(part["after"])


def _data_cell(cell: Any, side: str, head: str) -> str:
    """On a narrow screen, where the heads of a table have no room, each cell says its own."""
    named = f' data-head="{escape(head)}"' if head and cell != "" else ""
    return f'<td class="{side}"{named}>{_cell(cell)}</td>'


def _head(heads: Sequence[str], sides: Sequence[str]) -> Iterable[str]:
    cells = (f'<th scope="col" class="{side}">{escape(head)}</th>' for head, side in zip(heads, sides, strict=True))
    yield f"<thead><tr>{''.join(cells)}</tr></thead><tbody>"


def _cell(cell: str | Mapping[str, Any]) -> str:
    if isinstance(cell, str):
        return escape(cell)
    match cell["kind"]:
        case "tick":
            return _BOX
        case "ticks":
            return _BOX * int(cell["count"])
        case "tally":
            return f'<span class="write"><small>tally of {cell["count"]}</small></span>'
        case "blank":
            return _WRITE
        case "linked":
            links = ", ".join(f'<a href="#{anchor}">{escape(words)}</a>' for words, anchor in cell["links"])
            words = escape(cell["text"])
            return f"{f'<b>{words}</b>' if cell['bold'] else words} <small>{links}</small>"
    return f"<b>{escape(cell['text'])}</b>"


_BOX = '<span class="box"></span>'
_WRITE = '<span class="write">&nbsp;</span>'
_SET = '<span class="set">SET</span> '


def _drawn(drawing: Mapping[str, Any]) -> Iterable[str]:
    """A bar or a card as wide as paper and as wide as a telephone, of which the page shows the one that fits."""
    yield f'<div class="wide">{drawing["svg"]}</div><div class="narrow">{drawing["narrow"]}</div>'


def _cut(sheet: Mapping[str, Any]) -> Iterable[str]:
    yield f'<div class="framed">{escape(" ".join(sheet["safety"]))}</div>'
    for group in sheet["groups"]:
        yield f"<h2>{escape(group['title'])}</h2>"
        for bar in group["blocks"]:
            yield f'<section class="bar" id="bar-{bar["bars"][0]}">'
            yield from _bar(bar)
            yield "</section>"
    if sheet["recut"]:
        yield from _part(sheet["recut"])


def _bar(bar: Mapping[str, Any]) -> Iterable[str]:
    many = len(bar["bars"]) > 1
    weight = f"<b>{escape(bar['weight'])}, HEAVY</b>" if bar["heavy"] else escape(bar["weight"])
    yield f"<h3>{escape(bar['title'])}</h3>{escape(bar['source'])}; {escape(bar['start'])}; "
    yield f"{weight}; <b>{escape(bar['left'])}</b>"
    yield from (f"<p><b>{escape(line)}</b></p>" for line in bar["cautions"])
    yield from _drawn(bar)
    yield '<table class="cells">'
    yield from _head(("part", "count x length", "ends", "from START"), ("left", "right", "left", "left"))
    for step in bar["steps"]:
        yield from _step(step, many)
    yield "</tbody></table>"
    if many:
        for place, number in enumerate(bar["bars"]):
            boxes = "".join(f" <small>{escape(run['mark'])}</small>{_BOX * run['count']}" for run in bar["tallies"])
            kept = f" {_reserved(bar['reserved'][place])}" if bar["keep"] else ""
            yield f'<div><span class="nobr"><b>bar {number}</b>{boxes}</span>{kept}</div>'
    if bar["more-bars"]:
        yield f'<div class="write">a stroke for each of {bar["more-bars"]} more bars</div>'
    if bar["keep"] and not many:
        yield f"<p><b>{escape(bar['left-over'])}</b> {_reserved(bar['reserved'][0])}</p>"


def _reserved(mark: str) -> str:
    named = f"<b>{escape(mark)}</b>" if mark else _WRITE
    return f'<span class="nobr">mark {named} measured {_WRITE}</span>'


def _step(step: Mapping[str, Any], many: bool) -> Iterable[str]:
    if step["kind"] == "change":
        yield f'<tr><td colspan="4" class="framed"><b>{escape(step["what"])}:</b> {escape(step["how"])}</td></tr>'
        return
    about = f" <small>{escape(step['about'])}</small>" if step["about"] else ""
    ends = "".join(f"<br><small>{escape(line)}</small>" for line in step["end-lines"])
    angle = "".join(
        f"{_SET}<b>{escape(words)}</b>" if set_anew else escape(words)
        for words, set_anew in ((step["near"], step["set-near"]), (step["far"], step["set-saw"]))
    )
    box = "" if many else _BOX
    running = " ".join(f'<span class="nobr running">{escape(figure)} {box}</span>' for figure in step["running"])
    yield (
        f'<tr><td><span class="mark">{escape(step["mark"])}</span>{about}</td>'
        f'<td class="right nowrap">{_SET if step["set-stop"] else ""}{step["count"]} x '
        f'<span class="length">{escape(step["length"])}</span></td><td>{_outline(step["outline"])}{angle}{ends}</td>'
        f"<td>{running}</td></tr>"
    )
    if step["remark"]:
        yield f'<tr><td colspan="4"><b>{escape(step["remark"])}</b></td></tr>'


def _outline(corners: Sequence[Sequence[float]]) -> str:
    if not corners:
        return ""
    points = " ".join(f"{x},{y}" for x, y in corners)
    return (
        '<svg class="outline" role="presentation" viewBox="-0.5 -0.5 14 5.2">'
        f'<polygon points="{points}" fill="none" stroke="#000" stroke-width="0.4"/></svg> '
    )


def _marking(sheet: Mapping[str, Any]) -> Iterable[str]:
    yield f'<div class="framed">{escape(" ".join(sheet["safety"]))}</div><p>'
    yield from (f'<span class="small">{each["svg"]} {escape(each["names"])}</span>' for each in sheet["pictures"])
    yield "</p>"
    yield from _paragraphs(sheet["cautions"])
    if sheet["drills"]:
        yield from _part(sheet["drills"])
    for card in sheet["cards"]:
        yield f'<section class="bar" id="{card["anchor"]}">'
        for mark in card["marks"]:
            yield f"<h3>{escape(mark['mark'])}</h3><b>{escape(mark['pieces'])}, {escape(mark['length'])}</b> "
            yield f"<small>{escape(mark['about'])}</small> "
        yield escape(card["what"])
        yield from _paragraphs(card["looks"])
        yield from _drawn(card)
        yield '<table class="cells">'
        yield from _head(("side", "from end A", "across", "hole", "done"), ("left",) * 5)
        boxes = _BOX * card["boxes"] if card["boxes"] else f'<span class="write">tally of {card["pieces"]}</span>'
        for row in card["rows"]:
            cells = (
                f"<b>{escape(row['face'])}</b>",
                f'{row["count"]} <b class="running">{escape(row["places"])}</b> '
                f"<small>{escape(' '.join(text for text in (row['short'], row['from-b']) if text))}</small>",
                escape(row["across"]),
                f"{escape(row['hole'])} <small>{escape(row['note'])}</small>",
                " ".join(f'<span class="nobr">{step} {boxes}</span>' for step in row["steps"]),
            )
            yield "<tr>" + "".join(f"<td>{cell}</td>" for cell in cells) + "</tr>"
        yield "</tbody></table>"
        yield from _paragraphs((*card["jigs"], *card["cautions"]))
        yield "</section>"


_KINDS = {"front": _front, "listing": _listing, "cut": _cut, "marking": _marking}
