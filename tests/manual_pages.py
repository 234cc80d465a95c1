"""README and the pages of the manual, and what stands in them, for the tests that hold them true."""

from __future__ import annotations

import re
from pathlib import Path

from cutplan.manual import TOPICS

ROOT = Path(__file__).parent.parent
MANUAL = ROOT / "cutplan" / "manual"
README = (ROOT / "README.md").read_text(encoding="utf-8")
PAGES: dict[str, str] = {topic: (MANUAL / f"{topic}.md").read_text(encoding="utf-8") for topic in TOPICS}


def blocks(text: str, language: str) -> list[str]:
    """What stands between the fences of one language."""
    return re.findall(rf"^```{language}\n(.*?)^```$", text, re.MULTILINE | re.DOTALL)


def tables_below(topic: str, heading: str) -> list[list[list[str]]]:
    """Cells of every table of a page from a heading to the next, the heads of the tables left out."""
    below = PAGES[topic].split(f"{heading}\n", 1)[1].split("\n#", 1)[0]
    tables = re.findall(r"(?:^\|.*\n)+", below, re.MULTILINE)
    assert tables, (topic, heading)
    return [
        [[cell.strip() for cell in line.strip("|").split("|")] for line in table.splitlines()[2:]] for table in tables
    ]


def table_below(topic: str, heading: str) -> list[list[str]]:
    """Cells of the first table below a heading of a page, its head left out."""
    return tables_below(topic, heading)[0]
