"""For programs with a model of their own: lap, courses, rake templates, runs, joints, boards, nails."""
from __future__ import annotations

import ctypes as C
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from . import _library as _c
from ._results import LapwrightError, Result, check, new_error

_EDGES = {"base": 0, "corner": 1, "top": 2, "rake": 3, "roof": 4, "wall": 5}
_HANDS = {"left": 0, "right": 1}
_PLACES = {"base": 0, "head": 1, "roof": 2}
_MODES = {"full": 0, "even": 1, "fitted": 2}


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
    out, error = figures(struct_size=C.sizeof(figures)), new_error()
    check(_c.load().lapw_lap_profile(width, thickness, exposure, top_edge, C.byref(out), error), error)
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
    handle, error = C.c_void_p(), new_error()
    check(_c.load().lapw_lay_courses(rows, len(walls), C.byref(chosen), handle, error), error, handle)
    return Result(handle)


def rake_template(*, rise: float = 0, run: float = 0, degrees: float = 0, hand: str = "left", **options: float) -> Result:
    """The template for a slope, from rise and run or from degrees: ``templates[0]`` of the result, its outline in
    ``outline(templates[0].first_ring)``, its first page 1:1 as ``text``. Options: board_width, exposure, division (inches)."""
    if hand not in _HANDS:
        raise TypeError(f"no hand {hand!r}; there are left and right")
    chosen = _options("lapw_rake_input", "lapw_rake_input_init", options, ("hand", "rise", "run", "degrees"))
    chosen.hand, chosen.rise, chosen.run, chosen.degrees = _HANDS[hand], rise, run, degrees
    handle, error = C.c_void_p(), new_error()
    check(_c.load().lapw_rake_template(C.byref(chosen), handle, error), error, handle)
    return Result(handle)


def cut_lengths(demands: Sequence[tuple[float, int]], stock: Sequence[tuple[float, float]], kerf: float = 0.125, effort: float = 1) -> Result:
    """Least cost to cut (length, count) demands from (length, price) stock: ``patterns`` and ``totals[0]`` (cost,
    proven_minimum) of the result."""
    demand, board = _c.STRUCTS["lapw_demand"], _c.STRUCTS["lapw_stock"]
    wanted = (demand * len(demands))(*[demand(length, count) for length, count in demands])
    boards = (board * len(stock))(*[board(length, price) for length, price in stock])
    handle, error = C.c_void_p(), new_error()
    check(_c.load().lapw_cut_lengths(wanted, len(demands), boards, len(stock), kerf, effort, handle, error), error, handle)
    return Result(handle)


class Edge(NamedTuple):
    """What lies along an edge of a wall: base, corner, top, rake, roof or wall; its trim and gap in inches."""

    kind: str
    trim: float = 0
    gap: float = 0


class OpeningShape(NamedTuple):
    """An opening: its outline, and trim and gap of each edge (entry i: from vertex i to i + 1), inches. `rectangle`: upright,
    from its lower left corner counter-clockwise, and framed by a stud at each side."""

    outline: Sequence[tuple[float, float]]
    trim: Sequence[float]
    gap: Sequence[float]
    rectangle: bool = False


class Framing(NamedTuple):
    """Studs and what else holds nails, inches: regular studs at first + n spacing (0: none), further centres, members as
    (x_min, y_min, x_max, y_max), and studs `opening_stud` wide beside rectangular openings."""

    spacing: float = 16
    first: float = 0.75
    stud_width: float = 1.5
    studs: Sequence[float] = ()
    members: Sequence[tuple[float, float, float, float]] = ()
    opening_stud: float = 3
    around_openings: bool = True


class WallShape(NamedTuple):
    """A wall: its outline, one edge for each vertex (entry i: from vertex i to i + 1), openings; level base edges within
    `start` follow the line of `first_course`. Inches."""

    outline: Sequence[tuple[float, float]]
    edges: Sequence[Edge]
    openings: Sequence[OpeningShape] = ()
    start: tuple[float, float] | None = None
    first_course: int = 0
    name: str = ""
    framing: Framing = Framing()


class OnHand(NamedTuple):
    """A cut-off board, full width: its length in inches, and whether its ends, face up, are factory ends."""

    length: float
    left_factory: bool = False
    right_factory: bool = False


class BoardPiece(NamedTuple):
    """A piece of a layout of your own to cut from a board: its outline counter-clockwise and the lower edge `y` of its blank
    (inches), which of its ends must be factory ends, and its wall (any number)."""

    outline: Sequence[tuple[float, float]]
    y: float
    left_factory: bool = False
    right_factory: bool = False
    wall: int = 0


class BoardStarter(NamedTuple):
    """Starter strip to cut, `length` inches in all, at the height `y` of its wall; `where` is base, head or roof."""

    length: float
    y: float = 0
    where: str = "base"
    wall: int = 0


_DOUBLES = C.POINTER(C.c_double)


def _xy(points: Sequence[tuple[float, float]]) -> Any:
    return _doubles(value for point in points for value in point)


def _fill_wall(out: Any, wall: WallShape, kept: list[Any]) -> None:
    """`kept` holds what `out` points at until the call returns."""
    if len(wall.edges) != len(wall.outline):
        raise TypeError(f"{len(wall.outline)} vertices need as many edges, not {len(wall.edges)}")
    for e in wall.edges:
        if e.kind not in _EDGES:
            raise TypeError(f"no kind of edge {e.kind!r}; there are {', '.join(_EDGES)}")
    edge, opening = _c.STRUCTS["lapw_edge"], _c.STRUCTS["lapw_opening"]

    def hold(value: Any, kind: Any = _DOUBLES) -> Any:
        kept.append(value)
        return C.cast(value, kind)

    rows = (edge * len(wall.edges))(*[edge(e.trim, e.gap, _EDGES[e.kind], 0) for e in wall.edges])
    holes = (opening * len(wall.openings))()
    for hole, given in zip(holes, wall.openings):
        if not len(given.outline) == len(given.trim) == len(given.gap):
            raise TypeError("an opening needs one trim and one gap for each vertex")
        hole.struct_size, hole.vertex_count, hole.rectangle = C.sizeof(opening), len(given.outline), int(given.rectangle)
        hole.xy, hole.trim, hole.gap = hold(_xy(given.outline)), hold(_doubles(given.trim)), hold(_doubles(given.gap))
    out.struct_size, out.name = C.sizeof(out), wall.name.encode("utf-8") or None
    out.vertex_count, out.opening_count, out.first_course = len(wall.outline), len(wall.openings), wall.first_course
    out.xy, out.edges, out.openings = hold(_xy(wall.outline)), hold(rows, C.c_void_p), hold(holes, C.c_void_p)
    if wall.start is not None:
        out.has_start, (out.start_low, out.start_high) = 1, wall.start


def _fill_framing(out: Any, framing: Framing, kept: list[Any]) -> None:
    rectangle = _c.STRUCTS["lapw_rectangle"]
    studs = _doubles(framing.studs)
    blocks = (rectangle * len(framing.members))(*[rectangle(*m) for m in framing.members])
    kept += [studs, blocks]
    out.struct_size = C.sizeof(out)
    out.spacing, out.first, out.stud_width = framing.spacing, framing.first, framing.stud_width
    out.studs, out.stud_count = C.cast(studs, _DOUBLES), len(studs)
    out.members, out.member_count = C.cast(blocks, C.c_void_p), len(blocks)
    out.opening_stud, out.around_openings = framing.opening_stud, int(framing.around_openings)


def _board_rules(stock: Sequence[tuple[float, float]], on_hand: Sequence[OnHand], rules: Mapping[str, Any], kept: list[Any]) -> Any:
    lists = ("stock", "stock_count", "on_hand", "on_hand_count")
    chosen = _options("lapw_board_rules", "lapw_board_rules_init", rules, lists)
    board, rest = _c.STRUCTS["lapw_stock"], _c.STRUCTS["lapw_on_hand"]
    boards = (board * len(stock))(*[board(length, price) for length, price in stock])
    rests = (rest * len(on_hand))(*[rest(o.length, int(o.left_factory), int(o.right_factory)) for o in on_hand])
    kept += [boards, rests]
    chosen.stock, chosen.stock_count = C.cast(boards, C.c_void_p), len(boards)
    chosen.on_hand, chosen.on_hand_count = C.cast(rests, C.c_void_p), len(rests)
    return chosen


def find_runs(wall: WallShape, lines: Sequence[float], **rules: float) -> Result:
    """Where boards lie on one wall, course by course, before joints: ``runs`` (with ``outline(run.first_ring)``), ``starters``,
    ``findings`` and ``walls[0].region_area`` of the result. `lines` are the course lines by height. Further rules: board_width,
    min_leg, end_edge, starter_width (inches)."""
    kept: list[Any] = []
    chosen, shape = _options("lapw_run_rules", "lapw_run_rules_init", rules), _c.STRUCTS["lapw_wall_shape"]()
    _fill_wall(shape, wall, kept)
    heights = _doubles(lines)
    handle, error = C.c_void_p(), new_error()
    check(_c.load().lapw_find_runs(C.byref(shape), heights, len(heights), C.byref(chosen), handle, error), error, handle)
    return Result(handle)


def place_joints(wall: WallShape, lines: Sequence[float], stock: Sequence[tuple[float, float]], **rules: float) -> Result:
    """Joints of one wall on their own, without knowing the boards: ``runs``, ``joints``, ``pieces`` with their ``cuts``,
    ``starters``, and ``findings`` for each rule that had to be relaxed. `lines` are the course lines by height, `stock` holds
    (length, price). Further rules are those of lapw_board_rules (inches)."""
    kept: list[Any] = []
    chosen = _board_rules(stock, (), rules, kept)
    shape, frame = _c.STRUCTS["lapw_wall_shape"](), _c.STRUCTS["lapw_framing"]()
    _fill_wall(shape, wall, kept)
    _fill_framing(frame, wall.framing, kept)
    heights = _doubles(lines)
    handle, error = C.c_void_p(), new_error()
    status = _c.load().lapw_place_joints(C.byref(shape), heights, len(heights), C.byref(frame), C.byref(chosen), handle, error)
    check(status, error, handle)
    return Result(handle)


def pack_boards(
    pieces: Sequence[BoardPiece],
    stock: Sequence[tuple[float, float]],
    *,
    starters: Sequence[BoardStarter] = (),
    on_hand: Sequence[OnHand] = (),
    **rules: float,
) -> Result:
    """Which board each piece of a layout of your own is cut from: ``boards``, ``placements`` (whose ``piece`` and ``starter`` are
    indices into the lists given), ``offcuts``, ``order`` and ``totals[0].cost``. Pieces stand in the order in which they are hung,
    `stock` holds (length, price). Further rules are those of lapw_board_rules (inches)."""
    kept: list[Any] = []
    chosen = _board_rules(stock, on_hand, rules, kept)
    piece, strip = _c.STRUCTS["lapw_board_piece"], _c.STRUCTS["lapw_board_starter"]
    rows, strips = (piece * len(pieces))(), (strip * len(starters))()
    for out, given in zip(rows, pieces):
        kept.append(_xy(given.outline))
        out.struct_size, out.wall, out.y = C.sizeof(piece), given.wall, given.y
        out.xy, out.vertex_count = C.cast(kept[-1], _DOUBLES), len(given.outline)
        out.left_factory, out.right_factory = int(given.left_factory), int(given.right_factory)
    for out, starter in zip(strips, starters):
        if starter.where not in _PLACES:
            raise TypeError(f"no place {starter.where!r}; there are {', '.join(_PLACES)}")
        out.struct_size, out.wall, out.length, out.y = C.sizeof(strip), starter.wall, starter.length, starter.y
        out.where = _PLACES[starter.where]
    handle, error = C.c_void_p(), new_error()
    status = _c.load().lapw_pack_boards(rows, len(rows), strips, len(strips), C.byref(chosen), handle, error)
    check(status, error, handle)
    return Result(handle)


def settle_boards(
    walls: Sequence[WallShape], lines: Sequence[float], stock: Sequence[tuple[float, float]], *, on_hand: Sequence[OnHand] = (), **rules: float
) -> Result:
    """Joints and boards of a whole house settled together: the tables of place_joints for all walls but the runs, those of
    pack_boards with placements that point into ``pieces`` and ``starters``, and ``totals[0]`` with cost and proven_minimum. Further
    rules are those of lapw_board_rules (inches)."""
    kept: list[Any] = []
    chosen = _board_rules(stock, on_hand, rules, kept)
    shapes, frames = (_c.STRUCTS["lapw_wall_shape"] * len(walls))(), (_c.STRUCTS["lapw_framing"] * len(walls))()
    for shape, frame, wall in zip(shapes, frames, walls):
        _fill_wall(shape, wall, kept)
        _fill_framing(frame, wall.framing, kept)
    heights = _doubles(lines)
    handle, error = C.c_void_p(), new_error()
    status = _c.load().lapw_settle_boards(shapes, frames, len(walls), heights, len(heights), C.byref(chosen), handle, error)
    check(status, error, handle)
    return Result(handle)


class NailPiece(NamedTuple):
    """A piece of a layout of your own: its course, its outline on the wall counter-clockwise (inches), and whether its ends
    meet other pieces on a stud."""

    course: int
    outline: Sequence[tuple[float, float]]
    joint_left: bool = False
    joint_right: bool = False


def place_fasteners(
    pieces: Sequence[NailPiece], lines: Sequence[float], wall: tuple[float, float], *, framing: Framing = Framing(), **rules: float
) -> Result:
    """Nails for pieces of a layout of your own: ``nails`` (whose ``piece`` is an index into `pieces`) and ``findings`` of the
    result. `lines` are the course lines by height, `wall` the wall's left and right end; further rules are those of
    lapw_nail_rules (inches)."""
    kept: list[Any] = []
    chosen, frame = _options("lapw_nail_rules", "lapw_nail_rules_init", rules), _c.STRUCTS["lapw_framing"]()
    _fill_framing(frame, framing, kept)
    frame.wall_x_min, frame.wall_x_max = wall
    row = _c.STRUCTS["lapw_nail_piece"]
    rows = (row * len(pieces))()
    for out, piece in zip(rows, pieces):
        kept.append(_xy(piece.outline))
        out.struct_size, out.course = C.sizeof(row), piece.course
        out.xy, out.vertex_count = C.cast(kept[-1], _DOUBLES), len(piece.outline)
        out.joint_left, out.joint_right = int(piece.joint_left), int(piece.joint_right)
    heights = _doubles(lines)
    handle, error = C.c_void_p(), new_error()
    status = _c.load().lapw_place_fasteners(rows, len(pieces), heights, len(heights), C.byref(frame), C.byref(chosen), handle, error)
    check(status, error, handle)
    return Result(handle)
