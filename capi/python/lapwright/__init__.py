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
from collections.abc import Mapping
from typing import Any, Union

from . import _library as _c
from ._library import load
from ._own_model import (
    BoardPiece,
    BoardStarter,
    Edge,
    Framing,
    LapProfile,
    NailPiece,
    OnHand,
    OpeningShape,
    WallHeights,
    WallShape,
    cut_lengths,
    find_runs,
    lap_profile,
    lay_courses,
    pack_boards,
    place_fasteners,
    place_joints,
    rake_template,
    settle_boards,
)
from ._results import Fault, LapwrightError, Plan, Refused, Result, Row, Table, check, new_error

__all__ = [
    "BoardPiece", "BoardStarter", "Edge", "Fault", "Framing", "LapProfile", "LapwrightError", "NailPiece", "OnHand", "OpeningShape",
    "Plan", "Refused", "Result", "Row", "Table", "WallHeights", "WallShape", "audit", "cut_lengths", "find_runs", "format_length",
    "lap_profile", "lay_courses", "load", "pack_boards", "parse_length", "place_fasteners", "place_joints", "plan", "rake_template",
    "settle_boards", "version",
]

Document = Union[str, bytes, Mapping[str, Any]]


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
    handle, error = C.c_void_p(), new_error()
    check(_c.load().lapw_plan_job(data, len(data), None, handle, error), error, handle)
    return Plan(handle)


def audit(job: Document, plan: Union[Document, Plan]) -> list[Row]:
    """Findings on a plan from whoever made it; an empty list where every rule holds."""
    one, two = _bytes(job), _bytes(plan.text if isinstance(plan, Plan) else plan)
    handle, error = C.c_void_p(), new_error()
    check(_c.load().lapw_audit(one, len(one), two, len(two), handle, error), error, handle)
    return list(Result(handle).findings)


def parse_length(text: str) -> float:
    """Inches from ``63-7/16``, ``5' 3 7/16"``, ``1611 mm``, ... Raises Refused for anything else."""
    data, inches, error = text.encode("utf-8"), C.c_double(), new_error()
    check(_c.load().lapw_parse_length(data, len(data), inches, error), error)
    return inches.value


def format_length(inches: float, division: float = 0.0625, *, feet: bool = False) -> str:
    """Inches as a carpenter says them, to the nearest division: ``62 3/8``, or with feet ``5' 2 3/8"``."""
    buffer, error = C.create_string_buffer(64), new_error()
    check(_c.load().lapw_format_length(inches, division, 1 if feet else 0, buffer, 64, None, error), error)
    return buffer.value.decode("utf-8")
