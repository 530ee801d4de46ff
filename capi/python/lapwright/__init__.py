"""Lapwright plans lap siding: measured walls in; story pole, pieces, nails and boards to buy out.

    import lapwright
    plan = lapwright.plan({"lapwright": 1, "board": {"width": 8.25, "lengths": [144]}, "walls": [...]})
    for piece in plan.pieces:
        print(piece.id, piece.callout)

Lengths are inches, angles degrees. A plan's tables (``plan.pieces``, ``plan.nails``, ``plan.boards``, ...) are sequences of
light rows whose attributes are the fields of the C header; with numpy there, ``plan.nails.array()`` is a view without a
copy. Calls release the interpreter's lock; results are read-only and may be shared between threads.

This work can hurt: print a plan's cautions. Local codes, the maker's written instructions and a licensed professional
decide.
"""
from __future__ import annotations

import ctypes as C
import json
import weakref
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple, Union

from . import _library as _c
from ._library import load

__all__ = [
    "LapwrightError", "Refused", "Fault", "Row", "Table", "Result", "Plan", "LapProfile", "WallHeights", "NailPiece",
    "Edge", "OpeningShape", "audit", "cut_lengths", "find_runs", "format_length", "lap_profile", "lay_courses", "load", "parse_length", "place_fasteners", "plan",
    "rake_template", "version",
]

Document = Union[str, bytes, Mapping[str, Any]]

_TABLES = {
    "faults": (1, "lapw_fault"), "findings": (2, "lapw_finding"), "lines": (3, "lapw_line"), "walls": (4, "lapw_plan_wall"),
    "joints": (5, "lapw_joint"), "pieces": (6, "lapw_piece"), "rings": (7, "lapw_ring"), "vertices": (8, "lapw_vertex"),
    "cuts": (9, "lapw_cut"), "nails": (10, "lapw_nail"), "starters": (11, "lapw_starter"), "templates": (12, "lapw_template"),
    "boards": (13, "lapw_board"), "placements": (14, "lapw_placement"), "offcuts": (15, "lapw_offcut"), "order": (16, "lapw_order_line"),
    "totals": (17, "lapw_totals"), "lifts": (18, "lapw_lift"), "patterns": (19, "lapw_pattern"), "cautions": (20, "lapw_caution"),
    "runs": (21, "lapw_run"),
}
_EDGES = {"base": 0, "corner": 1, "top": 2, "rake": 3, "roof": 4, "wall": 5}
_HANDS = {"left": 0, "right": 1}
_MODES = {"full": 0, "even": 1, "fitted": 2}


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


def _check(status: int, error: Any, handle: C.c_void_p | None = None) -> None:
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


def _error() -> Any:
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


def _text(address: int) -> str:
    return C.string_at(address).decode("utf-8") if address else ""


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


class Table(Sequence[Row]):
    """The rows of one table. It keeps its result alive."""

    def __init__(self, result: "Result", number: int, struct_name: str) -> None:
        view = _c.TableView(struct_size=C.sizeof(_c.TableView))
        status = _c.load().lapw_result_table(result._handle, number, view)
        if status:
            raise LapwrightError(status, _c.load().lapw_status_name(status).decode(), "table", f"no table {number}")
        self._result, self._name = result, struct_name
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
        view = type("_View", (C.c_char * (self._count * self._size),), {}).from_address(self._address)
        view._owner = self  # numpy keeps the view, the view keeps the table, the table its result
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
        self._handle = handle
        self._finalizer = weakref.finalize(self, _c.load().lapw_result_free, handle)

    def __getattr__(self, name: str) -> Table:
        if name not in _TABLES:
            raise AttributeError(f"{type(self).__name__} has no {name!r}")
        table = Table(self, *_TABLES[name])
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
        return json.loads(self.text)

    def _draw(self, drawing: int, index: int = 0, page: int = 0, flags: int = 0) -> str:
        handle, error = C.c_void_p(), _error()
        _check(_c.load().lapw_draw(self._handle, drawing, index, page, flags, handle, error), error, handle)
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
        handle, error = C.c_void_p(), _error()
        _check(_c.load().lapw_write_sheet(self._handle, sheet, handle, error), error, handle)
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


def _bytes(document: Document) -> bytes:
    if isinstance(document, bytes):
        return document
    if isinstance(document, str):
        return document.encode("utf-8")
    return json.dumps(document, ensure_ascii=False).encode("utf-8")  # NaN is written as NaN and refused as no JSON


def version() -> str:
    """The library's release version."""
    return str(_c.load().lapw_version().decode())


def plan(job: Document) -> Plan:
    """Plans a job: a dictionary, or the document's text. Raises Refused with every fault."""
    data = _bytes(job)
    handle, error = C.c_void_p(), _error()
    _check(_c.load().lapw_plan_job(data, len(data), None, handle, error), error, handle)
    return Plan(handle)


def audit(job: Document, plan: Union[Document, Plan]) -> list[Row]:
    """Findings on a plan from whoever made it; an empty list where every rule holds."""
    one, two = _bytes(job), _bytes(plan.text if isinstance(plan, Plan) else plan)
    handle, error = C.c_void_p(), _error()
    _check(_c.load().lapw_audit(one, len(one), two, len(two), handle, error), error, handle)
    return list(Result(handle).findings)


def parse_length(text: str) -> float:
    """Inches from ``63-7/16``, ``5' 3 7/16"``, ``1611 mm``, ... Raises Refused for anything else."""
    data, inches, error = text.encode("utf-8"), C.c_double(), _error()
    _check(_c.load().lapw_parse_length(data, len(data), inches, error), error)
    return inches.value


def format_length(inches: float, division: float = 0.0625, *, feet: bool = False) -> str:
    """Inches as a carpenter says them, to the nearest division: ``62 3/8``, or with feet ``5' 2 3/8"``."""
    buffer, error = C.create_string_buffer(64), _error()
    _check(_c.load().lapw_format_length(inches, division, 1 if feet else 0, buffer, 64, None, error), error)
    return buffer.value.decode("utf-8")


class LapProfile(NamedTuple):
    """How a lapped board leans; inches, the angle in degrees."""

    slope: float
    angle: float
    edge_stand_off: float
    face_projection: float
    nail_stand_off: float
    least_trim: float
    starter_width: float
    starter_thickness: float


def lap_profile(width: float, thickness: float, exposure: float, top_edge: float = 1.0) -> LapProfile:
    """The lean of a board `width` wide and `thickness` thick that shows `exposure` (inches)."""
    figures = _c.STRUCTS["lapw_lap_figures"]
    out, error = figures(struct_size=C.sizeof(figures)), _error()
    _check(_c.load().lapw_lap_profile(width, thickness, exposure, top_edge, C.byref(out), error), error)
    return LapProfile(*(getattr(out, name) for name in LapProfile._fields))


def _options(struct_name: str, init: str, given: Mapping[str, Any], skip: Iterable[str] = ()) -> Any:
    struct = _c.STRUCTS[struct_name]
    out = struct()
    status = getattr(_c.load(), init)(C.byref(out), C.sizeof(struct))
    if status:
        raise LapwrightError(status, _c.load().lapw_status_name(status).decode(), "", f"{init} failed")
    names = [n for n, _ in struct._fields_ if n not in ("struct_size", "reserved") and n not in skip]
    for name, value in given.items():
        if name not in names:  # ctypes would take a misspelt field silently
            raise TypeError(f"no option {name!r}; there are {', '.join(names)}")
        setattr(out, name, value)
    return out


def _doubles(values: Iterable[float]) -> Any:
    data = [float(v) for v in values]
    return (C.c_double * len(data))(*data)


class WallHeights(NamedTuple):
    """What the pole must know of one wall, inches. A mark is (height, board_below): True for a sill or top, whose board is
    below it; False for a head or step."""

    lowest: float
    highest: float
    marks: Sequence[tuple[float, bool]] = ()
    start: tuple[float, float] | None = None
    name: str = ""


def lay_courses(walls: Sequence[WallHeights], *, mode: str = "fitted", built_lines: Sequence[float] = (), **rules: float) -> Result:
    """Lays the courses of all walls on one pole: ``lines``, ``walls``, ``findings`` of the result. `mode` is full, even or
    fitted; further rules are board_width, min_lap, max_exposure, min_exposure, division, max_step, min_strip (inches)."""
    if mode not in _MODES:
        raise TypeError(f"no mode {mode!r}; there are {', '.join(_MODES)}")
    chosen = _options("lapw_course_rules", "lapw_course_rules_init", rules, ("mode", "built_lines", "built_count"))
    chosen.mode = _MODES[mode]
    built = _doubles(built_lines)
    chosen.built_lines, chosen.built_count = C.cast(built, C.POINTER(C.c_double)), len(built)
    row, mark = _c.STRUCTS["lapw_wall_heights"], _c.STRUCTS["lapw_mark"]
    rows, kept = (row * len(walls))(), []
    for out, wall in zip(rows, walls):
        marks = (mark * len(wall.marks))(*[mark(height, 1 if below else 0, 0) for height, below in wall.marks])
        kept.append(marks)
        out.struct_size, out.name = C.sizeof(row), wall.name.encode("utf-8") or None
        out.lowest, out.highest = wall.lowest, wall.highest
        if wall.start is not None:
            out.has_start, (out.start_low, out.start_high) = 1, wall.start
        out.marks, out.mark_count = C.cast(marks, C.c_void_p), len(marks)
    handle, error = C.c_void_p(), _error()
    _check(_c.load().lapw_lay_courses(rows, len(walls), C.byref(chosen), handle, error), error, handle)
    return Result(handle)


def rake_template(*, rise: float = 0, run: float = 0, degrees: float = 0, hand: str = "left", **options: float) -> Result:
    """The template for a slope, from rise and run or from degrees: ``templates[0]`` of the result, its outline in
    ``outline(templates[0].first_ring)``, its first page 1:1 as ``text``. Options: board_width, exposure, division (inches)."""
    if hand not in _HANDS:
        raise TypeError(f"no hand {hand!r}; there are left and right")
    chosen = _options("lapw_rake_input", "lapw_rake_input_init", options, ("hand", "rise", "run", "degrees"))
    chosen.hand, chosen.rise, chosen.run, chosen.degrees = _HANDS[hand], rise, run, degrees
    handle, error = C.c_void_p(), _error()
    _check(_c.load().lapw_rake_template(C.byref(chosen), handle, error), error, handle)
    return Result(handle)


def cut_lengths(demands: Sequence[tuple[float, int]], stock: Sequence[tuple[float, float]], kerf: float = 0.125, effort: float = 1) -> Result:
    """Least cost to cut (length, count) demands from (length, price) stock: ``patterns`` and ``totals[0]`` (cost,
    proven_minimum) of the result."""
    demand, board = _c.STRUCTS["lapw_demand"], _c.STRUCTS["lapw_stock"]
    wanted = (demand * len(demands))(*[demand(length, count) for length, count in demands])
    boards = (board * len(stock))(*[board(length, price) for length, price in stock])
    handle, error = C.c_void_p(), _error()
    _check(_c.load().lapw_cut_lengths(wanted, len(demands), boards, len(stock), kerf, effort, handle, error), error, handle)
    return Result(handle)


class Edge(NamedTuple):
    """What lies along an edge of a wall: base, corner, top, rake, roof or wall; its trim and gap in inches."""

    kind: str
    trim: float = 0
    gap: float = 0


class OpeningShape(NamedTuple):
    """An opening: its outline, and trim and gap of each edge (entry i: from vertex i to i + 1), inches."""

    outline: Sequence[tuple[float, float]]
    trim: Sequence[float]
    gap: Sequence[float]


def find_runs(
    outline: Sequence[tuple[float, float]],
    edges: Sequence[Edge],
    lines: Sequence[float],
    *,
    openings: Sequence[OpeningShape] = (),
    start: tuple[float, float] | None = None,
    first_course: int = 0,
    name: str = "wall",
    **rules: float,
) -> Result:
    """Where boards lie on one wall, course by course, before joints: ``runs`` (with ``outline(run.first_ring)``), ``starters``,
    ``findings`` and ``walls[0].region_area`` of the result. `lines` are the course lines by height; level base edges within
    `start` follow the line of `first_course`. Further rules: board_width, min_leg, end_edge, starter_width (inches)."""
    chosen = _options("lapw_run_rules", "lapw_run_rules_init", rules)
    edge, opening, shape = _c.STRUCTS["lapw_edge"], _c.STRUCTS["lapw_opening"], _c.STRUCTS["lapw_wall_shape"]
    if len(edges) != len(outline):
        raise TypeError(f"{len(outline)} vertices need as many edges, not {len(edges)}")
    for e in edges:
        if e.kind not in _EDGES:
            raise TypeError(f"no kind of edge {e.kind!r}; there are {', '.join(_EDGES)}")
    pointer, kept = C.POINTER(C.c_double), []

    def doubles(values: Iterable[float]) -> Any:
        kept.append(_doubles(values))
        return C.cast(kept[-1], pointer)

    rows = (edge * len(edges))(*[edge(e.trim, e.gap, _EDGES[e.kind], 0) for e in edges])
    holes = (opening * len(openings))()
    for out, given in zip(holes, openings):
        if not len(given.outline) == len(given.trim) == len(given.gap):
            raise TypeError("an opening needs one trim and one gap for each vertex")
        out.struct_size, out.vertex_count = C.sizeof(opening), len(given.outline)
        out.xy = doubles(value for point in given.outline for value in point)
        out.trim, out.gap = doubles(given.trim), doubles(given.gap)
    wall = shape(struct_size=C.sizeof(shape), name=name.encode("utf-8"), vertex_count=len(outline), opening_count=len(openings), first_course=first_course)
    wall.xy = doubles(value for point in outline for value in point)
    wall.edges, wall.openings = C.cast(rows, C.c_void_p), C.cast(holes, C.c_void_p)
    if start is not None:
        wall.has_start, (wall.start_low, wall.start_high) = 1, start
    heights = _doubles(lines)
    handle, error = C.c_void_p(), _error()
    _check(_c.load().lapw_find_runs(C.byref(wall), heights, len(heights), C.byref(chosen), handle, error), error, handle)
    return Result(handle)


class NailPiece(NamedTuple):
    """A piece of a layout of your own: its course, its outline on the wall counter-clockwise (inches), and whether its ends
    meet other pieces on a stud."""

    course: int
    outline: Sequence[tuple[float, float]]
    joint_left: bool = False
    joint_right: bool = False


def place_fasteners(
    pieces: Sequence[NailPiece],
    lines: Sequence[float],
    wall: tuple[float, float],
    *,
    spacing: float = 16,
    first: float = 0.75,
    stud_width: float = 1.5,
    studs: Sequence[float] = (),
    members: Sequence[tuple[float, float, float, float]] = (),
    **rules: float,
) -> Result:
    """Nails for pieces of a layout of your own: ``nails`` (whose ``piece`` is an index into `pieces`) and ``findings`` of the
    result. `lines` are the course lines by height, `wall` the wall's left and right end, `members` rectangles
    (x_min, y_min, x_max, y_max) that hold nails; further rules are those of lapw_nail_rules (inches)."""
    chosen = _options("lapw_nail_rules", "lapw_nail_rules_init", rules)
    frame = _options("lapw_framing", "lapw_framing_init", {"spacing": spacing, "first": first, "stud_width": stud_width})
    frame.wall_x_min, frame.wall_x_max = wall
    further = _doubles(studs)
    frame.studs, frame.stud_count = C.cast(further, C.POINTER(C.c_double)), len(further)
    rectangle = _c.STRUCTS["lapw_rectangle"]
    blocks = (rectangle * len(members))(*[rectangle(*m) for m in members])
    frame.members, frame.member_count = C.cast(blocks, C.c_void_p), len(blocks)
    row = _c.STRUCTS["lapw_nail_piece"]
    rows, kept = (row * len(pieces))(), []
    for out, piece in zip(rows, pieces):
        xy = _doubles(value for point in piece.outline for value in point)
        kept.append(xy)
        out.struct_size, out.course = C.sizeof(row), piece.course
        out.xy, out.vertex_count = C.cast(xy, C.POINTER(C.c_double)), len(piece.outline)
        out.joint_left, out.joint_right = int(piece.joint_left), int(piece.joint_right)
    heights = _doubles(lines)
    handle, error = C.c_void_p(), _error()
    _check(_c.load().lapw_place_fasteners(rows, len(pieces), heights, len(heights), C.byref(frame), C.byref(chosen), handle, error), error, handle)
    return Result(handle)
