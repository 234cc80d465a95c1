"""Dataclasses as objects of JSON: written, read back and described by what their fields declare."""

from __future__ import annotations

import re
from collections.abc import Callable, Hashable, Iterator
from dataclasses import dataclass, fields, is_dataclass, replace
from enum import Enum
from functools import cache
from operator import attrgetter
from types import NoneType, UnionType
from typing import Annotated, Any, Generic, TypeVar, Union, cast, get_args, get_origin, get_type_hints

from cutplan.fields.kinds import TEXT, YES_OR_NO, Change, Kind, Role, said

Definitions = dict[str, Any]
T = TypeVar("T")

_ALWAYS: Any = object()
"""The default of what is never left out."""


@dataclass(frozen=True, slots=True)
class _Form:
    """How values of one type are written and read (None: as they are), and described in a schema."""

    write: Change | None
    read: Change | None
    describe: Callable[[Definitions], dict[str, Any]]


@dataclass(frozen=True, slots=True)
class _Entry:
    """One field or property of a record, by its key in JSON.

    ``spread`` where its own keys stand in its place; ``default`` where it is left out when it has that value.
    """

    key: str
    attribute: str
    form: _Form
    spread: Record[Any] | None = None
    default: Any = _ALWAYS

    @property
    def rare(self) -> bool:
        """Is it left out at times?"""
        return self.default is not _ALWAYS


@dataclass(frozen=True, slots=True)
class _Read:
    """How one field is read: from which key, changed how, or looked up by it; and what it is where the key may lack."""

    attribute: str
    key: str
    change: Change | None
    by_key: bool = False
    default: Any = _ALWAYS


class Record(Generic[T]):
    """What writes, reads and describes the objects of one dataclass.

    ``write`` gives the plain values of an object, keys in the order of their declaration. ``read`` gives the object
    back; what no field asks for is not looked at, and what references stand for is looked up by key in its second
    argument. It raises ValueError, KeyError or TypeError when the values cannot be such an object.
    """

    def __init__(self, of: type[T]) -> None:
        self._of = of
        self._shown: list[_Entry] = []
        read: list[_Read] = []
        for attribute, hint, is_field in (*_fields(of), *_properties(of)):
            kind = _declared(hint)
            key = kind.key or attribute
            if kind.role is Role.SPREAD:
                self._shown.append(_Entry(key, attribute, _record(_bare(hint)), record_of(_bare(hint))))
            elif kind.role is Role.PLACE:
                read.append(_Read(attribute, key, kind.read))
            elif kind.role is not Role.OMITTED:
                default = _defaults(of)[attribute] if kind.rare else _ALWAYS
                entry = _Entry(key, attribute, _form(hint), default=default)
                keys = [each.key for each in self._shown]
                self._shown.insert(keys.index(kind.before) if kind.before else len(keys), entry)
                if is_field:
                    read.append(_Read(attribute, key, entry.form.read, kind.role is Role.REFERENCE, default))
        self.write: Callable[[T], dict[str, Any]] = _writer(self._shown)
        self.read: Callable[..., T] = _reader(of, read)

    def schema(self, definitions: Definitions) -> dict[str, Any]:
        """What JSON Schema says of such an object; what it refers to is added to the definitions."""
        properties = self._properties(definitions)
        return {
            "description": _sentence(self._of),
            "type": "object",
            "additionalProperties": False,
            "required": [key for key in properties if key not in self._rare()],
            "properties": properties,
        }

    def _properties(self, definitions: Definitions) -> dict[str, Any]:
        properties: dict[str, Any] = {}
        for entry in self._shown:
            if entry.spread:
                properties |= entry.spread._properties(definitions)
            else:
                properties[entry.key] = entry.form.describe(definitions)
        return properties

    def _rare(self) -> set[str]:
        """Keys that are not always there."""
        own = {entry.key for entry in self._shown if entry.rare}
        return own.union(*(entry.spread._rare() for entry in self._shown if entry.spread))


def record_of(of: type[T]) -> Record[T]:
    """The record of a dataclass or named tuple, made once."""
    made: Record[T] = _made(cast(Hashable, of))
    return made


@cache
def _made(of: Hashable) -> Any:
    return Record(cast(type[Any], of))


def _fields(of: Any) -> Iterator[tuple[str, Any, bool]]:
    names = of._fields if issubclass(of, tuple) else of.__dataclass_fields__
    hints = get_type_hints(of, include_extras=True)
    return ((name, hints[name], True) for name in names)


def _defaults(of: Any) -> dict[str, Any]:
    return {each.name: each.default for each in fields(of)}


def _properties(of: type[Any]) -> Iterator[tuple[str, Any, bool]]:
    """Properties that declare how they are written; they follow from the fields and are never read."""
    every = {name: found for each in reversed(of.__mro__) for name, found in vars(each).items()}
    for name, found in every.items():
        if isinstance(found, property) and "Annotated" in str(found.fget.__annotations__.get("return")):
            yield name, get_type_hints(found.fget, include_extras=True)["return"], False


def _writer(shown: list[_Entry]) -> Callable[[Any], dict[str, Any]]:
    """A function made of source text, as dataclasses make theirs: a loop over the fields takes a third longer."""
    changes: dict[str, Any] = {}
    items = []
    for number, entry in enumerate(shown):
        value = f"value.{entry.attribute}"
        if entry.form.write:
            changes[f"write_{number}"] = entry.form.write
            value = f"write_{number}({value})"
        item = f"**{value}" if entry.spread else f"{entry.key!r}: {value}"
        if entry.rare:
            changes[f"usual_{number}"] = entry.default
            item = f"**({{}} if value.{entry.attribute} == usual_{number} else {{{item}}})"
        items.append(item)
    made: Callable[[Any], dict[str, Any]] = eval(f"lambda value: {{{', '.join(items)}}}", changes)
    return made


def _reader(of: type[Any], read: list[_Read]) -> Callable[..., Any]:
    changes: dict[str, Any] = {"of": of}
    arguments = []
    for number, each in enumerate(read):
        value = f"known[values[{each.key!r}]]" if each.by_key else f"values[{each.key!r}]"
        if each.change and not each.by_key:
            changes[f"read_{number}"] = each.change
            value = f"read_{number}({value})"
        if each.default is not _ALWAYS:
            changes[f"usual_{number}"] = each.default
            value = f"{value} if {each.key!r} in values else usual_{number}"
        arguments.append(f"{each.attribute}={value}")
    made: Callable[..., Any] = eval(f"lambda values, known=None: of({', '.join(arguments)})", changes)
    return made


def _declared(hint: Any) -> Kind:
    if get_origin(hint) is Annotated:
        return next((each for each in hint.__metadata__ if isinstance(each, Kind)), said)
    return said


def _bare(hint: Any) -> Any:
    return get_args(hint)[0] if get_origin(hint) is Annotated else hint


def _form(hint: Any) -> _Form:
    kind, of = _declared(hint), _bare(hint)
    if get_origin(of) in (Union, UnionType):
        return _or_null(of, kind)
    if kind.row is not None:
        row = kind.row
        return _list(_record(kind.row), kind, before=lambda entry: row(*entry))
    if kind.schema is not None:
        return _Form(kind.write, kind.read, lambda definitions: _referred(definitions, kind))
    if get_origin(of) is tuple:
        return _list(_form(get_args(of)[0]), kind)
    if isinstance(of, type) and issubclass(of, Enum):
        return _choice(of, kind)
    if isinstance(of, type) and is_dataclass(of):
        return _record(of, kind)
    for plain, usual in ((str, TEXT), (bool, YES_OR_NO)):
        if of is plain:
            return _form(Annotated[of, replace(usual, sentence=kind.sentence)])
    raise TypeError(f"a field of {of!r} does not say how it is written")


def _referred(definitions: Definitions, kind: Kind) -> dict[str, Any]:
    if not kind.name:
        return _said(kind) | dict(kind.schema or {})
    definitions.setdefault(kind.name, kind.schema)
    return {"$ref": f"#/$defs/{kind.name}"} | _said(kind)


def _said(kind: Kind) -> dict[str, Any]:
    return {"description": kind.sentence} if kind.sentence else {}


def _or_null(of: Any, kind: Kind) -> _Form:
    (inner,) = (each for each in get_args(of) if each is not NoneType)
    form = _form(Annotated[inner, replace(kind, sentence="")])
    write, read = form.write, form.read
    return _Form(
        lambda value: value if value is None or write is None else write(value),
        lambda value: value if value is None or read is None else read(value),
        lambda definitions: _said(kind) | {"anyOf": [form.describe(definitions), {"type": "null"}]},
    )


def _list(form: _Form, kind: Kind, before: Change | None = None) -> _Form:
    write, read = form.write, form.read
    if before and write:
        row, inner = before, write
        write = lambda entry: inner(row(entry))  # noqa: E731
    least = {"minItems": kind.least} if kind.least else {}
    return _Form(
        (lambda values: [write(value) for value in values]) if write else list,
        (lambda values: tuple([read(value) for value in values])) if read else tuple,
        lambda definitions: _said(kind) | {"type": "array", "items": form.describe(definitions)} | least,
    )


def _choice(of: type[Enum], kind: Kind) -> _Form:
    """Words of an Enum: of its own with a sentence of the field, or as its docstring says, shared by all its fields."""
    words = [member.value for member in of]
    name = "" if kind.sentence else _snake(of.__name__)
    listed = f"{_sentence(of)}: {', '.join(f'{chr(34)}{word}{chr(34)}' for word in words)}"
    schema = {"enum": words} if kind.sentence else {"description": listed, "enum": words}
    own = replace(kind, name=name, schema=schema)
    return _Form(attrgetter("_value_"), of, lambda definitions: _referred(definitions, own))


def _record(of: type[Any], kind: Kind = said) -> _Form:
    record, name = record_of(of), _snake(of.__name__)

    def describe(definitions: Definitions) -> dict[str, Any]:
        if name not in definitions:
            definitions[name] = {}  # one that holds itself refers to what is being made
            definitions[name] = record.schema(definitions)
        return {"$ref": f"#/$defs/{name}"} | _said(kind)

    return _Form(record.write, record.read, describe)


def _snake(name: str) -> str:
    return re.sub(r"(?<!^)(?=[A-Z])", "_", name).lower()


def _sentence(of: type[Any]) -> str:
    """The first sentence of a docstring as a description."""
    sentence = re.split(r"[.;](?:\s|$)", (of.__doc__ or "").strip(), maxsplit=1)[0]
    return " ".join((sentence[:1].lower() + sentence[1:]).replace("``", '"').split())
