#!/usr/bin/env python3
"""What does another exposure cost? Plans one job at several greatest exposures, compares the orders, and prints the cut
sheet of the cheapest.

    compare_exposures.py JOB.json [EXPOSURE ...]        inches; default: the job's own and an inch less

Needs the shared library: set LAPWRIGHT_LIBRARY to its path, or install the package.
"""
from __future__ import annotations

import json
import os
import sys

try:
    import lapwright
except ImportError:  # from a source tree
    sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "capi", "python"))
    import lapwright


def inches(job: dict, value: object) -> float:
    """A length of a job document, which may be a number in the job's unit."""
    if isinstance(value, str):
        return lapwright.parse_length(value)
    return float(value) / (25.4 if job.get("unit") == "mm" else 1.0)  # type: ignore[arg-type]


def main(arguments: list[str]) -> int:
    if not arguments:
        print(__doc__, file=sys.stderr)
        return 1
    with open(arguments[0], encoding="utf-8") as file:
        job = json.load(file)
    board, courses = job["board"], job.setdefault("courses", {})
    own = inches(job, courses["max_exposure"]) if "max_exposure" in courses else inches(job, board["width"]) - inches(job, board.get("min_lap", "1.25in"))
    wanted = [lapwright.parse_length(a) for a in arguments[1:]] or [own, own - 1]

    best = None
    print("exposure   boards     cost   proven   settings   warnings")
    for exposure in wanted:
        courses["max_exposure"] = f"{exposure!r}in"
        courses.pop("min_exposure", None)
        try:
            plan = lapwright.plan(job)
        except lapwright.Refused as refused:
            print(f"{lapwright.format_length(exposure):>8}   refused: {refused}")
            continue
        totals = plan.totals[0]
        boards = sum(line.count for line in plan.order)
        warnings = sum(finding.severity for finding in plan.findings)
        print(f"{lapwright.format_length(exposure):>8} {boards:8} {totals.cost:8.2f} {totals.proven_minimum:8.2f} {totals.gauge_settings:10} {warnings:10}")
        if best is None or totals.cost < best[0]:
            best = (totals.cost, exposure, plan)
    if best is None:
        return 2
    print(f"\nCut sheet at {lapwright.format_length(best[1])}:\n")
    print(best[2].cut_sheet())
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
