"""examples/batch.py on processes and, where it is installed, on Dask: the same folder whatever the engine and the number of
workers, failures apart.   test_batch.py BATCH WORK"""
import importlib.util
import json
import os
import shutil
import subprocess
import sys

batch, work = sys.argv[1:]
jobs = os.path.join(work, "jobs")
shutil.rmtree(work, ignore_errors=True)
os.makedirs(jobs)
for i in range(12):
    width = 60 + 9 * i
    job = {"lapwright": 1, "board": {"width": 8.25, "lengths": [144]}, "search": {"effort": 0},
           "walls": [{"name": "w", "outline": [[0, 0], [width, 0], [width, 30], [0, 30]], "edges": ["base", "corner", "top", "corner"]}]}
    if i == 4:
        job["board"]["width"] = -8.25
    with open(os.path.join(jobs, f"job{i:02}.json"), "wb") as file:
        file.write(b"\xff no text" if i == 7 else json.dumps(job).encode())


def run(engine, workers):
    out = os.path.join(work, f"{engine}-{workers}")
    done = subprocess.run([sys.executable, batch, jobs, out, "--engine", engine, "--workers", str(workers)],
                          stdout=subprocess.PIPE, stderr=subprocess.PIPE, universal_newlines=True)
    if done.returncode != 2:
        sys.exit(f"{engine}: status {done.returncode}\n{done.stdout}{done.stderr}")
    if "10 planned, 2 kept apart" not in done.stdout or "12 of 12" not in done.stderr:
        sys.exit(f"{engine}: {done.stdout}{done.stderr}")
    files = {}
    for folder, _, names in os.walk(out):
        for name in names:
            path = os.path.join(folder, name)
            with open(path, encoding="utf-8") as file:
                files[os.path.relpath(path, out)] = file.read()
    return files


first = run("processes", 1)
if sorted(name for name in first if name.startswith("failed")) != ["failed/job04.json", "failed/job07.json"]:
    sys.exit(f"kept apart: {sorted(first)}")
if len(first) != 13 or json.loads(first["failed/job04.json"])["errors"][0]["path"] != "board.width":
    sys.exit(f"written: {sorted(first)}")
if run("processes", 3) != first:
    sys.exit("three processes write something else than one")
if importlib.util.find_spec("distributed") is None:
    print("Dask is not installed: processes alone are tested")
elif run("dask", 2) != first:
    sys.exit("Dask writes something else than processes")
else:
    print("the same from processes and from Dask")
