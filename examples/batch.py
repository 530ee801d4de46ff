#!/usr/bin/env python3
"""Plans a folder of jobs in parallel. Planning is pure, so the result does not depend on how many workers share the work.

    batch.py FOLDER OUT [--workers N] [--engine dask|processes]

Writes OUT/NAME.plan.json for each job that plans, OUT/failed/NAME.json (the refusal document) for each that does not, and
OUT/summary.csv, a line a job in the order of names. Runs on Dask where it is installed, else on processes of its own.
Needs the shared library: set LAPWRIGHT_LIBRARY to its path, or install the package.
"""
from __future__ import annotations

import argparse
import csv
import json
import os
import sys
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from typing import Any, Tuple

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "capi", "python"))


Row = Tuple[str, str, float, float, str]


def name_of(path: str) -> str:
    return os.path.splitext(os.path.basename(path))[0]


def keep_apart(name: str, out: str, status: str, errors: list[dict[str, str]]) -> Row:
    """Writes the refusal document of a job that is not planned."""
    with open(os.path.join(out, "failed", name + ".json"), "w", encoding="utf-8") as file:
        json.dump({"lapwright": 1, "errors": errors}, file, indent=1)
    return name, status, 0.0, 0.0, errors[0]["message"]


def plan_one(path: str, out: str) -> Row:
    """One job: name, "planned" | "refused" | "failed", cost, proven minimum, what was wrong. Never raises."""
    import lapwright

    name = name_of(path)
    try:
        with open(path, encoding="utf-8") as file:
            plan = lapwright.plan(file.read())
        with open(os.path.join(out, name + ".plan.json"), "w", encoding="utf-8") as file:
            file.write(plan.text)
        return name, "planned", plan.totals[0].cost, plan.totals[0].proven_minimum, ""
    except lapwright.Refused as refused:
        return keep_apart(name, out, "refused", [{"path": f.path, "message": f.message} for f in refused.faults])
    except Exception as error:  # a file that cannot be read must not stop the others
        return keep_apart(name, out, "failed", [{"path": "", "message": str(error)}])


def result_of(future: Any, path: str, out: str) -> Row:
    """The row of a job that is done; a worker that died with it is a failure of that job alone."""
    try:
        row: Row = future.result()
        return row
    except Exception as error:
        return keep_apart(name_of(path), out, "failed", [{"path": "", "message": f"its worker died: {error!r}"}])


def on_dask(paths: list[str], out: str, workers: int) -> Iterator[Row]:
    from dask.distributed import Client, LocalCluster, as_completed as dask_completed

    with LocalCluster(n_workers=workers, threads_per_worker=1, dashboard_address=None) as cluster, Client(cluster) as client:
        path_of = {client.submit(plan_one, path, out, pure=False): path for path in paths}
        for future in dask_completed(path_of):
            yield result_of(future, path_of[future], out)


def on_processes(paths: list[str], out: str, workers: int) -> Iterator[Row]:
    with ProcessPoolExecutor(max_workers=workers) as pool:
        path_of = {pool.submit(plan_one, path, out): path for path in paths}
        for future in as_completed(path_of):
            yield result_of(future, path_of[future], out)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder")
    parser.add_argument("out")
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--engine", choices=["dask", "processes"])
    chosen = parser.parse_args()
    paths = sorted(os.path.join(chosen.folder, f) for f in os.listdir(chosen.folder) if f.endswith(".json"))
    os.makedirs(os.path.join(chosen.out, "failed"), exist_ok=True)
    engine = chosen.engine
    if engine is None:
        try:
            import dask.distributed  # noqa: F401

            engine = "dask"
        except ImportError:
            engine = "processes"
    rows = []
    for row in (on_dask if engine == "dask" else on_processes)(paths, chosen.out, max(1, chosen.workers)):
        rows.append(row)
        if sys.stderr.isatty() or len(rows) % 100 == 0 or len(rows) == len(paths):
            print(f"\r{len(rows)} of {len(paths)}", end="", file=sys.stderr, flush=True)
    print(file=sys.stderr)
    rows.sort()
    with open(os.path.join(chosen.out, "summary.csv"), "w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(["job", "status", "cost", "proven minimum", "what was wrong"])
        writer.writerows(rows)
    planned = sum(row[1] == "planned" for row in rows)
    print(f"{planned} planned, {len(rows) - planned} kept apart in {os.path.join(chosen.out, 'failed')}")
    return 0 if planned == len(rows) else 2


if __name__ == "__main__":
    sys.exit(main())
