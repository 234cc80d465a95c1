"""Documents that were typeset apart become one: pages, outline and tags of each behind those of the one before.

What a typesetter needs grows faster than its document, so long ones are set in pieces. General libraries that join
PDFs drop the tags, by which a screen reader knows a table from a line of text. The typesetter's objects are few in
kind, so here they are renumbered as they stand.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from cutplan.reports.paper.packing import Packer, written

_STREAM = b"\nstream\n"
_PARENTHESIS = re.compile(rb"\\.|[()]", re.DOTALL)
_REFERENCE = re.compile(rb"\b(\d+) 0 R\b")
_NUMBERED = re.compile(rb"(\d+) (\d+ 0 R)\b")
_STRUCT_PARENTS = re.compile(rb"(?<=/StructParents )\d+")
_CELL_ID = re.compile(rb"\((U\d+x\d+y\d+)\)")
_PAGES_SAID = re.compile(rb"(?<=<xmpTPg:NPages>)\d+(?=<)")
_LENGTH = re.compile(rb"(?<=/Length )\d+")

_SHARED = {
    "catalogue": rb"/Root (\d+) 0 R",
    "about": rb"/Info (\d+) 0 R",
    "metadata": rb"/Metadata (\d+) 0 R",
    "pages": rb"/Pages (\d+) 0 R",
    "outline": rb"/Outlines (\d+) 0 R",
    "tags": rb"/StructTreeRoot (\d+) 0 R",
    "document": rb"/K\[(\d+) 0 R\]",
}
"""Objects of which a document has one each, and what refers to them in the trailer, the catalogue, the root of tags."""


def joined(documents: Iterable[bytes]) -> bytes:
    """One packed document of several.

    Parameters
    ----------
    documents
        Tagged PDFs as the typesetter writes them, one or more, in the order of reading. Title, language and the like
        are those of the first. Each is let go before the next is asked for.

    Raises
    ------
    ValueError
        When a document is not built as the typesetter builds them.

    References
    ----------
    ISO 32000-1:2008, 7.7.3 page tree, 7.9.6 name trees, 7.9.7 number trees, 12.3.3 outlines, 14.7 logical structure.
    """
    whole = _Whole()
    for document in documents:
        whole.add(document)
    return whole.finished()


@dataclass(slots=True)
class _Whole:
    """The document so far; what grows with every piece is kept back to the end."""

    packer: Packer = field(default_factory=lambda: Packer(bytearray()))
    size: int = 1
    trailer: bytes = b""
    shared: dict[str, int] = field(default_factory=dict)
    kept: dict[str, bytes] = field(default_factory=dict)
    pages: list[bytes] = field(default_factory=list)
    tagged: list[bytes] = field(default_factory=list)
    parents: list[bytes] = field(default_factory=list)
    names: list[bytes] = field(default_factory=list)
    entries: int = 0
    first_entry: int = 0
    last_entry: tuple[int, bytes] = (0, b"")

    def add(self, pdf: bytes) -> None:
        """Put one document behind those before."""
        plain = written(pdf)
        objects = dict(plain.objects())
        own = _shared_numbers(objects, plain.trailer)
        if not self.shared:
            self.packer.out += plain.head
            self.trailer, self.shared = plain.trailer, own
        to = {number: number + self.size - 1 for number in objects}
        to |= {number: self.shared[name] for name, number in own.items()}
        self.size += plain.size - 1
        moved = {to[number]: _moved(content, to, len(self.pages)) for number, content in objects.items()}
        taken = {name: moved.pop(number) for name, number in self.shared.items()}
        numbered = _NUMBERED.findall(_array(taken["tags"], b"/Nums"))
        self.parents += [b"%d %b" % (int(page) + len(self.pages), elements) for page, elements in numbered]
        if b"/Names[" in taken["tags"]:
            self.names.append(_array(taken["tags"], b"/Names"))
        self.pages += [b"%b 0 R" % page for page in _REFERENCE.findall(_array(taken["pages"], b"/Kids"))]
        if len(self.parents) != len(self.pages):
            raise ValueError("a PDF with tags for other things than pages")
        self.tagged.append(_array(taken["document"], b"/K"))
        self._outline(taken["outline"], moved)
        self.kept = self.kept or taken
        for number, content in moved.items():
            self.packer.add(number, content)

    def _outline(self, root: bytes, moved: dict[int, bytes]) -> None:
        """Tie the entries at the top of an outline to those before; the last one waits for its follower."""
        ends = [re.search(rb"/%b (\d+) 0 R" % end, root) for end in (b"First", b"Last")]
        if ends[0] is None or ends[1] is None:
            return
        first, last = (int(end[1]) for end in ends if end)
        count = re.search(rb"/Count (-?\d+)", root)
        self.entries += int(count[1]) if count else 0
        before, content = self.last_entry
        if before:
            self.packer.add(before, _with(content, b"/Next %d 0 R" % first))
            moved[first] = _with(moved[first], b"/Prev %d 0 R" % before)
        self.first_entry = self.first_entry or first
        self.last_entry = (last, moved.pop(last))

    def finished(self) -> bytes:
        """The document with what was kept back."""
        kept, pages = self.kept, len(self.pages)
        said, mark, data = kept["metadata"].partition(_STREAM)
        data = _PAGES_SAID.sub(b"%d" % pages, data)
        said = _LENGTH.sub(b"%d" % len(data.removesuffix(b"\nendstream")), said)
        kept["metadata"] = said + mark + data
        kept["pages"] = b"<</Type/Pages/Count %d/Kids[%b]>>" % (pages, b" ".join(self.pages))
        kept["document"] = _with_array(kept["document"], b"/K", b" ".join(self.tagged))
        kept["tags"] = _with_array(kept["tags"], b"/Nums", b" ".join(self.parents))
        kept["tags"] = re.sub(rb"(?<=/ParentTreeNextKey )\d+", b"%d" % pages, kept["tags"])
        if self.names:
            kept["tags"] = _with_names(kept["tags"], b"".join(self.names))
        if self.first_entry:
            self.packer.add(*self.last_entry)
            span = (self.first_entry, self.last_entry[0], self.entries)
            kept["outline"] = b"<</Type/Outlines/First %d 0 R/Last %d 0 R/Count %d>>" % span
        for name, content in kept.items():
            self.packer.add(self.shared[name], content)
        return self.packer.finished(self.size, self.trailer)


def _shared_numbers(objects: Mapping[int, bytes], trailer: bytes) -> dict[str, int]:
    """The numbers of the objects a document has one of each."""
    found: dict[str, int] = {}
    for name, refers in _SHARED.items():
        by = {"catalogue": trailer, "about": trailer}.get(name) or objects[
            found["tags" if name == "document" else "catalogue"]
        ]
        number = re.search(refers, by)
        if number is None:
            raise ValueError(f"a PDF without its {name}")
        found[name] = int(number[1])
    return found


def _moved(content: bytes, to: Mapping[int, int], pages: int) -> bytes:
    """An object with its references renumbered, in a document that follows so many pages."""
    text, mark, data = content.partition(_STREAM)
    return b"".join(_renumbered(text, to, pages)) + mark + data


def _renumbered(text: bytes, to: Mapping[int, int], pages: int) -> Iterator[bytes]:
    before = b""
    for piece, is_string in _pieces(text):
        if is_string:
            # A cell's name is a string in a list of names or behind /ID; words of a user stand behind other keys.
            names_cell = not before or before.endswith((b"/ID", b"[", b" R"))
            yield _CELL_ID.sub(rb"(V%06d\1)" % pages, piece) if pages and names_cell else piece
        else:
            piece = _REFERENCE.sub(lambda found: b"%d 0 R" % to[int(found[1])], piece)
            if b"/StructParents " in piece:
                piece = _STRUCT_PARENTS.sub(lambda found: b"%d" % (int(found[0]) + pages), piece)
            yield piece
        before = piece


def _pieces(text: bytes) -> Iterator[tuple[bytes, bool]]:
    """What stands outside strings and, with True, the strings, each in its parentheses. Either may be empty outside."""
    if b"(" not in text:
        yield text, False
        return
    depth = start = 0
    for found in _PARENTHESIS.finditer(text):
        if found[0] == b"(":
            if not depth:
                yield text[start : found.start()], False
                start = found.start()
            depth += 1
        elif found[0] == b")":
            depth -= 1
            if not depth:
                yield text[start : found.end()], True
                start = found.end()
    yield text[start:], False


def _with(content: bytes, entry: bytes) -> bytes:
    """A dictionary with one more entry."""
    return b"<<" + entry + content.removeprefix(b"<<")


def _array(content: bytes, key: bytes) -> bytes:
    """What stands in the array of a key that holds references, numbers and names of cells."""
    found = re.search(re.escape(key) + rb"\[([^]]*)\]", content)
    if found is None:
        raise ValueError(f"a PDF without the list {key.decode()} the typesetter writes")
    return found[1]


def _with_array(content: bytes, key: bytes, inside: bytes) -> bytes:
    head, _, rest = content.partition(key + b"[")
    return head + key + b"[" + inside + rest[rest.index(b"]") :]


def _with_names(tags: bytes, names: bytes) -> bytes:
    """The root of the tags with the names of all cells, whether it had any or not."""
    if b"/Names[" in tags:
        return _with_array(tags, b"/Names", names)
    return _with(tags, b"/IDTree<</Names[%b]>>" % names)
