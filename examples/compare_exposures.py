#!/usr/bin/env python3
"""What does another exposure cost? Plans a job as it is and at other greatest exposures, compares the orders, and prints the
cut sheet of the cheapest.

    compare_exposures.py JOB.json EXPOSURE ...        such as 6 1/2" or 165mm

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


def order(plan: lapwright.Plan) -> str:
    return ", ".join(f"{line.count} x {lapwright.format_length(line.length, feet=True)}" for line in plan.order)


def main(arguments: list[str]) -> int:
    if len(arguments) < 2:
        print(__doc__, file=sys.stderr)
        return 1
    with open(arguments[0], encoding="utf-8") as file:
        job = json.load(file)

    plans = {"as it is": lapwright.plan(job)}
    for exposure in arguments[1:]:
        courses = {**job.get("courses", {}), "max_exposure": exposure}
        courses.pop("min_exposure", None)  # its default goes down with the greatest
        try:
            plans[exposure] = lapwright.plan({**job, "courses": courses})
        except lapwright.Refused as refused:
            print(f"{exposure}: refused: {refused}")

    print("exposure   courses  settings  warnings     cost   order")
    for exposure, plan in plans.items():
        totals = plan.totals[0]
        warnings = sum(finding.severity for finding in plan.findings)
        print(f"{exposure:10} {len(plan.lines):7} {totals.gauge_settings:9} {warnings:9} {totals.cost:8.2f}   {order(plan)}")

    cheapest = min(plans, key=lambda exposure: float(plans[exposure].totals[0].cost))
    print(f"\nCut sheet, {cheapest}:\n")
    print(plans[cheapest].cut_sheet())
    for caution in plans[cheapest].cautions:
        print("-", caution.text)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
