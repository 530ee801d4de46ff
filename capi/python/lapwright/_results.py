"""What a call returns: tables of light rows, texts, and the exceptions of a call that fails."""
from __future__ import annotations

import ctypes as C
import json
import weakref
from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

from . import _library as _c

_TABLES = {
    "faults": (1, "lapw_fault"), "findings": (2, "lapw_finding"), "lines": (3, "lapw_line"), "walls": (4, "lapw_plan_wall"),
    "joints": (5, "lapw_joint"), "pieces": (6, "lapw_piece"), "rings": (7, "lapw_ring"), "vertices": (8, "lapw_vertex"),
    "cuts": (9, "lapw_cut"), "nails": (10, "lapw_nail"), "starters": (11, "lapw_starter"), "templates": (12, "lapw_template"),
    "boards": (13, "lapw_board"), "placements": (14, "lapw_placement"), "offcuts": (15, "lapw_offcut"), "order": (16, "lapw_order_line"),
    "totals": (17, "lapw_totals"), "lifts": (18, "lapw_lift"), "patterns": (19, "lapw_pattern"), "cautions": (20, "lapw_caution"),
    "runs": (21, "lapw_run"),
}


class Fault(NamedTuple):
    """One thing wrong with the input: the path of the value, and what was wrong and what would do."""

    path: str
    message: str


class LapwrightError(Exception):
    """A call that failed: ``status`` (number), ``name`` (of the status), ``path`` of the faulty value, ``message``."""

    def __init__(self, status: int, name: str, path: str, message: str) -> None:
        super().__init__(f"{path}: {message}" if path else message)
        self.status, self.name, self.path, self.message = status, name, path, message


class Refused(LapwrightError):
    """The job or demand cannot be built or read: ``faults`` holds every fault that was found."""

    def __init__(self, status: int, name: str, path: str, message: str, faults: Sequence[Fault]) -> None:
        super().__init__(status, name, path, message)
        self.faults = list(faults)


def check(status: int, error: Any, handle: C.c_void_p | None = None) -> None:
    if status == 0:
        return
    name = _c.load().lapw_status_name(status).decode()
    path, message = error.path.decode("utf-8", "replace"), error.message.decode("utf-8", "replace")
    if status == 20:
        faults = [Fault(path, message)]
        if handle is not None and handle.value:
            faults = [Fault(row.path, row.message) for row in Result(handle).faults]
        raise Refused(status, name, path, message, faults)
    if status == 2:
        raise MemoryError(message)
    raise LapwrightError(status, name, path, message)


def new_error() -> Any:
    return _c.Error(struct_size=C.sizeof(_c.Error))


class Row:
    """One row of a table; its attributes are the fields of the C header's struct of the same name."""

    __slots__ = ("_values", "_table")
    _fields: tuple[str, ...] = ()

    def __init__(self, values: tuple[Any, ...], table: "Table") -> None:
        self._values, self._table = values, table

    def __getattr__(self, name: str) -> Any:  # every field has a property; this is for type checkers and for typos
        raise AttributeError(f"{type(self).__name__} has no field {name!r}; it has {', '.join(self._fields)}")

    def as_dict(self) -> dict[str, Any]:
        """The row as a dictionary that outlives the result."""
        return {name: getattr(self, name) for name in self._fields}

    def __repr__(self) -> str:
        return f"{type(self).__name__}({', '.join(f'{k}={v!r}' for k, v in self.as_dict().items())})"


def _text(address: int, pointer: Any = C.c_char_p) -> str:
    word: str = pointer(address).value.decode() if address else ""  # half the time of ctypes.string_at
    return word


def _row_class(name: str) -> type[Row]:
    _, fields, texts, _ = _c.row_layout(name)
    members: dict[str, Any] = {"__slots__": (), "_fields": tuple(f for f in fields if f != "reserved"), "__doc__": f"A row of ``{name}`` of the C header."}

    def number(index: int) -> property:
        return property(lambda self: self._values[index])

    def word(index: int) -> property:
        return property(lambda self: _text(self._values[index]))

    for index, field in enumerate(fields):
        if field != "reserved":
            members[field] = word(index) if field in texts else number(index)
    return type("".join(part.title() for part in name.split("_")[1:]), (Row,), members)


_ROWS = {name: _row_class(name) for _, name in _TABLES.values()}


class _Owner:
    """Holds a result of the library until nothing that points into it is left."""

    def __init__(self, handle: C.c_void_p) -> None:
        self.handle = handle
        self._finalizer = weakref.finalize(self, _c.load().lapw_result_free, handle)


class Table(Sequence[Row]):
    """The rows of one table. It keeps what they point into alive."""

    def __init__(self, owner: _Owner, number: int, struct_name: str) -> None:
        view = _c.TableView(struct_size=C.sizeof(_c.TableView))
        status = _c.load().lapw_result_table(owner.handle, number, view)
        if status:
            raise LapwrightError(status, _c.load().lapw_status_name(status).decode(), "table", f"no table {number}")
        self._owner, self._name = owner, struct_name
        self._row = _ROWS[struct_name]
        self._address, self._size, self._count = view.rows or 0, int(view.row_size), int(view.count)
        self._reader, missing = _c.row_struct(struct_name, self._size)
        self._missing = (0,) * missing

    def __len__(self) -> int:
        return self._count

    def __iter__(self) -> Iterator[Row]:
        if not self._count:
            return
        row, missing = self._row, self._missing
        for values in self._reader.iter_unpack(C.string_at(self._address, self._count * self._size)):
            yield row(values + missing if missing else values, self)

    def __getitem__(self, index: Any) -> Any:
        if isinstance(index, slice):
            return [self[i] for i in range(*index.indices(self._count))]
        if index < 0:
            index += self._count
        if not 0 <= index < self._count:
            raise IndexError(f"row {index} of {self._count}")
        values = self._reader.unpack(C.string_at(self._address + index * self._size, self._size))
        return self._row(values + self._missing, self)

    def array(self) -> Any:
        """A numpy array over the rows, without a copy; texts are addresses. Needs numpy."""
        import numpy

        codes, fields, _, _ = _c.row_layout(self._name)
        kinds = {"I": "u4", "i": "i4", "q": "i8", "d": "f8", "P": "u8"}
        known = len(codes) - len(self._missing)
        offsets, at = [], 0
        for code in codes[:known]:
            offsets.append(at)
            at += int(kinds[code][1])
        dtype = numpy.dtype({"names": fields[:known], "formats": [kinds[c] for c in codes[:known]], "offsets": offsets, "itemsize": self._size})
        if not self._count:
            return numpy.empty(0, dtype)
        view: Any = (C.c_char * (self._count * self._size)).from_address(self._address)
        view._owner = self._owner  # numpy keeps the view, the view keeps the result
        array = numpy.frombuffer(view, dtype)
        array.flags.writeable = False
        return array


class Result:
    """What a call returned: its tables by name, and its ``text``."""

    faults: Table
    findings: Table
    lines: Table
    walls: Table
    joints: Table
    pieces: Table
    rings: Table
    vertices: Table
    cuts: Table
    nails: Table
    starters: Table
    templates: Table
    boards: Table
    placements: Table
    offcuts: Table
    order: Table
    totals: Table
    lifts: Table
    patterns: Table
    cautions: Table
    runs: Table

    def __init__(self, handle: C.c_void_p) -> None:
        self._owner = _Owner(handle)
        self._handle = handle

    def __getattr__(self, name: str) -> Table:
        if name not in _TABLES:
            raise AttributeError(f"{type(self).__name__} has no {name!r}")
        table = Table(self._owner, *_TABLES[name])
        setattr(self, name, table)  # the next time it is at hand
        return table

    @property
    def text(self) -> str:
        """The plan document as JSON, the SVG of a drawing, or a sheet."""
        size = C.c_int64()
        address = _c.load().lapw_result_text(self._handle, size)
        return C.string_at(address, size.value).decode("utf-8")

    def outline(self, ring: int) -> list[tuple[float, float]]:
        """The vertices of one ring, inches."""
        row = self.rings[ring]
        vertices = self.vertices
        return [(v.x, v.y) for v in vertices[row.first_vertex : row.first_vertex + row.vertex_count]]


class Plan(Result):
    """A planned house. ``plan.document`` is the plan document as a dictionary."""

    @property
    def document(self) -> dict[str, Any]:
        document: dict[str, Any] = json.loads(self.text)
        return document

    def _draw(self, drawing: int, index: int = 0, page: int = 0, flags: int = 0) -> str:
        handle, error = C.c_void_p(), new_error()
        check(_c.load().lapw_draw(self._handle, drawing, index, page, flags, handle, error), error, handle)
        return Result(handle).text

    def elevation(self, wall: int, *, studs: bool = False, nails: bool = False) -> str:
        """SVG of one wall, by its row in ``walls``."""
        return self._draw(1, wall, 0, (1 if studs else 0) | (2 if nails else 0))

    def pole(self) -> str:
        """SVG of the story pole."""
        return self._draw(2)

    def card(self, piece: int) -> str:
        """SVG of one piece's cut card, by its row in ``pieces``."""
        return self._draw(3, piece)

    def board_drawing(self, board: int) -> str:
        """SVG of one board, by its row in ``boards``."""
        return self._draw(4, board)

    def template_page(self, template: int, page: int = 0, *, a4: bool = False) -> str:
        """SVG of one page of a rake template 1:1, by its row in ``templates``."""
        return self._draw(5, template, page, 4 if a4 else 0)

    def lap(self) -> str:
        """SVG of the lean of a lapped board."""
        return self._draw(6)

    def _sheet(self, sheet: int) -> str:
        handle, error = C.c_void_p(), new_error()
        check(_c.load().lapw_write_sheet(self._handle, sheet, handle, error), error, handle)
        return Result(handle).text

    def summary(self) -> str:
        """What a foreman wants first, in under 25 lines."""
        return self._sheet(1)

    def cut_sheet(self) -> str:
        """Each piece with its cuts, face up and back up, in hanging order."""
        return self._sheet(2)

    def board_sheet(self) -> str:
        """Each board with what is cut from it, in cutting order."""
        return self._sheet(3)

    def page(self) -> str:
        """One page of HTML with everything, to print."""
        return self._sheet(4)
