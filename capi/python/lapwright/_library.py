"""The C interface by ctypes: structs, prototypes, loading. Standard library only.

``STRUCTS`` is checked against ``tests/abi/layout.txt``, the same golden file as the C header.
"""
from __future__ import annotations

import ctypes as C
import glob
import os
import struct as _struct
import threading
from typing import Any

ABI_VERSION = 1

u32, i32, i64, f64, text, ptr = C.c_uint32, C.c_int32, C.c_int64, C.c_double, C.c_char_p, C.c_void_p

# Fields of every struct, in the header's order: name, type.
_FIELDS: dict[str, list[tuple[str, Any]]] = {
    "lapw_error": [("struct_size", u32), ("code", i32), ("fault_count", i64), ("path", C.c_char * 176), ("message", C.c_char * 320)],
    "lapw_table": [("struct_size", u32), ("row_size", u32), ("rows", ptr), ("count", i64)],
    "lapw_vertex": [("x", f64), ("y", f64)],
    "lapw_ring": [("first_vertex", i64), ("vertex_count", i64)],
    "lapw_fault": [("path", text), ("message", text)],
    "lapw_finding": [("code", text), ("wall", text), ("piece", text), ("message", text), ("severity", i32), ("course", i32),
                     ("measured", f64), ("limit", f64)],
    "lapw_caution": [("text", text)],
    "lapw_line": [("height", f64), ("exposure", f64), ("built", i32), ("reserved", i32)],
    "lapw_plan_wall": [("name", text), ("first_course", i32), ("last_course", i32), ("ripped_start", i32), ("reserved", i32),
                       ("last_rip", f64), ("region_area", f64), ("framing_share", f64), ("least_penetration", f64),
                       ("first_piece", i64), ("piece_count", i64), ("first_joint", i64), ("joint_count", i64),
                       ("first_starter", i64), ("starter_count", i64), ("first_template", i64), ("template_count", i64)],
    "lapw_joint": [("wall", i64), ("run", i64), ("x", f64), ("stud", f64), ("course", i32), ("left_factory", i32), ("right_factory", i32), ("reserved", i32)],
    "lapw_piece": [("id", text), ("callout", text), ("wall", i64), ("x_min", f64), ("x_max", f64), ("y", f64), ("length", f64),
                   ("first_ring", i64), ("ring_count", i64), ("first_cut", i64), ("cut_count", i64), ("first_nail", i64), ("nail_count", i64),
                   ("course", i32), ("filler", i32), ("left_meets", i32), ("right_meets", i32), ("left_factory", i32), ("right_factory", i32),
                   ("left_seal", i32), ("right_seal", i32)],
    "lapw_cut": [("callout", text), ("back_callout", text), ("print", text), ("piece", i64), ("first_front", i64), ("front_count", i64),
                 ("first_back", i64), ("back_count", i64), ("long_point", f64), ("short_point", f64), ("kind", i32), ("tool", i32), ("seal", i32),
                 ("reserved", i32)],
    "lapw_nail": [("piece", i64), ("starter", i64), ("x", f64), ("y", f64), ("penetration", f64), ("board", f64), ("board_below", f64),
                  ("stand_off", f64), ("sheathing", f64), ("stud_edge", f64), ("into", i32), ("face", i32)],
    "lapw_starter": [("id", text), ("wall", i64), ("from_x", f64), ("from_y", f64), ("to_x", f64), ("to_y", f64), ("width", f64), ("where", i32),
                     ("reserved", i32)],
    "lapw_template": [("wall", i64), ("rise", f64), ("run", f64), ("angle", f64), ("offset", f64), ("step", f64), ("square_run", f64),
                      ("square_rise", f64), ("error", f64), ("fence", f64), ("stock_length", f64), ("stock_width", f64), ("first_ring", i64),
                      ("ring_count", i64), ("hand", i32), ("uses", i32)],
    "lapw_board": [("length", f64), ("price", f64), ("first_placement", i64), ("placement_count", i64), ("first_offcut", i64), ("offcut_count", i64),
                   ("id", i32), ("on_hand", i32)],
    "lapw_placement": [("board", i64), ("piece", i64), ("starter", i64), ("x", f64), ("y", f64), ("width", f64), ("height", f64), ("turned", i32),
                       ("reserved", i32)],
    "lapw_offcut": [("board", i64), ("x", f64), ("y", f64), ("width", f64), ("height", f64)],
    "lapw_order_line": [("length", f64), ("count", i64)],
    "lapw_totals": [("cost", f64), ("proven_minimum", f64), ("sealant_inches", f64), ("prime_inches", f64), ("starter_inches", f64), ("weight_lb", f64),
                    ("allowance_boards", i64), ("cartridges", i64), ("joint_flashings", i64), ("nails_stud", i64), ("nails_member", i64),
                    ("nails_sheathing", i64), ("nails_face", i64), ("gauge_settings", i32), ("reserved", i32)],
    "lapw_lift": [("wall", i64), ("weight_lb", f64), ("lift", i32), ("first_course", i32), ("last_course", i32), ("pieces", i32)],
    "lapw_pattern": [("pattern", i64), ("stock", i64), ("times", i64), ("demand", i64), ("pieces", i64)],
    "lapw_run": [("x_min", f64), ("x_max", f64), ("first_ring", i64), ("ring_count", i64), ("course", i32), ("filler", i32)],
    "lapw_plan_options": [("struct_size", u32), ("flags", u32)],
    "lapw_lap_figures": [("struct_size", u32), ("reserved", u32), ("slope", f64), ("angle", f64), ("edge_stand_off", f64), ("face_projection", f64),
                         ("nail_stand_off", f64), ("least_trim", f64), ("starter_width", f64), ("starter_thickness", f64)],
    "lapw_course_rules": [("struct_size", u32), ("mode", i32), ("board_width", f64), ("min_lap", f64), ("max_exposure", f64), ("min_exposure", f64),
                          ("division", f64), ("max_step", f64), ("min_strip", f64), ("built_lines", C.POINTER(f64)), ("built_count", i64)],
    "lapw_mark": [("height", f64), ("board_below", i32), ("reserved", i32)],
    "lapw_wall_heights": [("struct_size", u32), ("has_start", i32), ("name", text), ("lowest", f64), ("highest", f64), ("start_low", f64),
                          ("start_high", f64), ("marks", ptr), ("mark_count", i64)],
    "lapw_rake_input": [("struct_size", u32), ("hand", i32), ("rise", f64), ("run", f64), ("degrees", f64), ("board_width", f64), ("exposure", f64),
                        ("division", f64)],
    "lapw_demand": [("length", f64), ("count", i64)],
    "lapw_stock": [("length", f64), ("price", f64)],
    "lapw_nail_rules": [("struct_size", u32), ("sheathing_holds_nails", i32), ("board_width", f64), ("board_thickness", f64), ("min_lap", f64),
                        ("length", f64), ("shank", f64), ("head", f64), ("top_edge", f64), ("end_edge", f64), ("edge", f64), ("max_spacing", f64),
                        ("end_reach", f64), ("min_penetration", f64), ("min_framing_share", f64), ("sheathing_thickness", f64)],
    "lapw_rectangle": [("x_min", f64), ("y_min", f64), ("x_max", f64), ("y_max", f64)],
    "lapw_framing": [("struct_size", u32), ("reserved", i32), ("spacing", f64), ("first", f64), ("stud_width", f64), ("wall_x_min", f64),
                     ("wall_x_max", f64), ("studs", C.POINTER(f64)), ("stud_count", i64), ("members", ptr), ("member_count", i64),
                     ("opening_stud", f64), ("around_openings", i32), ("reserved2", i32)],
    "lapw_edge": [("trim", f64), ("gap", f64), ("kind", i32), ("reserved", i32)],
    "lapw_opening": [("struct_size", u32), ("rectangle", i32), ("xy", C.POINTER(f64)), ("vertex_count", i64), ("trim", C.POINTER(f64)), ("gap", C.POINTER(f64))],
    "lapw_wall_shape": [("struct_size", u32), ("has_start", i32), ("name", text), ("xy", C.POINTER(f64)), ("vertex_count", i64), ("edges", ptr),
                        ("openings", ptr), ("opening_count", i64), ("start_low", f64), ("start_high", f64), ("first_course", i32), ("reserved", i32)],
    "lapw_run_rules": [("struct_size", u32), ("reserved", i32), ("board_width", f64), ("min_leg", f64), ("end_edge", f64), ("starter_width", f64)],
    "lapw_nail_piece": [("struct_size", u32), ("course", i32), ("xy", C.POINTER(f64)), ("vertex_count", i64), ("joint_left", i32), ("joint_right", i32)],
    "lapw_on_hand": [("length", f64), ("left_factory", i32), ("right_factory", i32)],
    "lapw_board_rules": [("struct_size", u32), ("turnable", i32), ("stock", ptr), ("stock_count", i64), ("on_hand", ptr), ("on_hand_count", i64),
                         ("board_width", f64), ("min_leg", f64), ("end_edge", f64), ("starter_width", f64), ("division", f64), ("gap", f64),
                         ("window", f64), ("min_piece", f64), ("stagger", f64), ("joint_price", f64), ("kerf", f64), ("min_offcut", f64),
                         ("effort", f64), ("repeat_after", i32), ("factory_ends", i32)],
    "lapw_board_piece": [("struct_size", u32), ("wall", i32), ("xy", C.POINTER(f64)), ("vertex_count", i64), ("y", f64), ("left_factory", i32),
                         ("right_factory", i32)],
    "lapw_board_starter": [("struct_size", u32), ("wall", i32), ("length", f64), ("y", f64), ("where", i32), ("reserved", i32)],
}

STRUCTS: dict[str, Any] = {name: type(name, (C.Structure,), {"_fields_": fields}) for name, fields in _FIELDS.items()}

Error = STRUCTS["lapw_error"]
TableView = STRUCTS["lapw_table"]

# Codes that struct.unpack knows; a pointer to text is read as its address.
_CODES = {u32: "I", i32: "i", i64: "q", f64: "d", text: "P", ptr: "P"}


def row_layout(name: str) -> tuple[str, list[str], list[str], int]:
    """Unpack codes, field names and which of them are text, and the size of a row that this module knows."""
    fields = _FIELDS[name]
    return "".join(_CODES[t] for _, t in fields), [n for n, _ in fields], [n for n, t in fields if t is text], C.sizeof(STRUCTS[name])


def row_struct(name: str, row_size: int) -> tuple[_struct.Struct, int]:
    """A reader of rows `row_size` apart, which may be older or newer than ours; and how many fields are missing."""
    codes, _, _, size = row_layout(name)
    while size > row_size:
        size -= _struct.calcsize("=" + codes[-1]) if codes[-1] != "P" else C.sizeof(ptr)
        codes = codes[:-1]
    known = len(codes)
    return _struct.Struct("@" + codes + f"{row_size - size}x"), len(row_layout(name)[0]) - known


_E, _R = C.POINTER(Error), C.POINTER(ptr)
_PROTOTYPES: list[tuple[str, Any, list[Any]]] = [
    ("lapw_abi_version", u32, []),
    ("lapw_version", text, []),
    ("lapw_status_name", text, [i32]),
    ("lapw_result_table", i32, [ptr, i32, C.POINTER(TableView)]),
    ("lapw_result_text", ptr, [ptr, C.POINTER(i64)]),
    ("lapw_result_free", None, [ptr]),
    ("lapw_plan_options_init", i32, [ptr, u32]),
    ("lapw_plan_job", i32, [text, i64, ptr, _R, _E]),
    ("lapw_audit", i32, [text, i64, text, i64, _R, _E]),
    ("lapw_draw", i32, [ptr, i32, i64, i64, u32, _R, _E]),
    ("lapw_write_sheet", i32, [ptr, i32, _R, _E]),
    ("lapw_parse_length", i32, [text, i64, C.POINTER(f64), _E]),
    ("lapw_format_length", i32, [f64, f64, i32, C.c_char_p, i64, C.POINTER(i64), _E]),
    ("lapw_lap_profile", i32, [f64, f64, f64, f64, ptr, _E]),
    ("lapw_course_rules_init", i32, [ptr, u32]),
    ("lapw_lay_courses", i32, [ptr, i64, ptr, _R, _E]),
    ("lapw_rake_input_init", i32, [ptr, u32]),
    ("lapw_rake_template", i32, [ptr, _R, _E]),
    ("lapw_cut_lengths", i32, [ptr, i64, ptr, i64, f64, f64, _R, _E]),
    ("lapw_nail_rules_init", i32, [ptr, u32]),
    ("lapw_framing_init", i32, [ptr, u32]),
    ("lapw_run_rules_init", i32, [ptr, u32]),
    ("lapw_find_runs", i32, [ptr, ptr, i64, ptr, _R, _E]),
    ("lapw_board_rules_init", i32, [ptr, u32]),
    ("lapw_place_joints", i32, [ptr, ptr, i64, ptr, ptr, _R, _E]),
    ("lapw_pack_boards", i32, [ptr, i64, ptr, i64, ptr, _R, _E]),
    ("lapw_settle_boards", i32, [ptr, ptr, i64, ptr, i64, ptr, _R, _E]),
    ("lapw_place_fasteners", i32, [ptr, i64, ptr, i64, ptr, ptr, _R, _E]),
]

_lock = threading.Lock()
_loaded: Any = None


def _missing(name: str) -> Any:
    def call(*_: Any) -> Any:
        raise NotImplementedError(f"{name} is newer than the library that was loaded")

    return call


def _candidates() -> list[str]:
    here = os.path.dirname(os.path.abspath(__file__))
    name = f"liblapwright_c.so.{ABI_VERSION}"
    found = [os.path.join(here, name)]
    # An installed tree: PREFIX/share/lapwright/python/lapwright beside PREFIX/lib or PREFIX/lib/TRIPLET.
    prefix = os.path.normpath(os.path.join(here, "..", "..", "..", ".."))
    for pattern in ("lib", "lib64", "lib/*"):
        found += sorted(glob.glob(os.path.join(prefix, pattern, name)))
    return found


def load(path: str | os.PathLike[str] | None = None) -> Any:
    """Loads the shared library once: from `path`, else from the environment's LAPWRIGHT_LIBRARY, else from beside this
    package or its installed prefix. Always by exact path, so that no other copy is met by chance."""
    global _loaded
    with _lock:
        if _loaded is not None:
            return _loaded
        chosen = os.fspath(path) if path is not None else os.environ.get("LAPWRIGHT_LIBRARY", "")
        if not chosen:
            chosen = next((c for c in _candidates() if os.path.exists(c)), "")
        if not chosen:
            raise OSError("the shared library was not found: set LAPWRIGHT_LIBRARY to the path of liblapwright_c.so, or call lapwright.load(path)")
        library = C.CDLL(os.path.abspath(chosen))
        for name, result, arguments in _PROTOTYPES:
            try:
                function = getattr(library, name)
            except AttributeError:  # the library is older than this package: all else goes on
                setattr(library, name, _missing(name))
                continue
            function.restype, function.argtypes = result, arguments
        abi = library.lapw_abi_version()
        if abi != ABI_VERSION:
            raise OSError(f"{chosen} has ABI {abi}; this package speaks ABI {ABI_VERSION}")
        _loaded = library
        return library
