"""Holds job and plan documents against the shipped JSON Schemas with a kept validator (python3-jsonschema).

usage: validate_schemas.py SOURCE_DIR PLAN_HOUSE [MORE_JOBS...]

Every example job must be valid, and what the library makes of it too; jobs that the library refuses for their form
must be invalid as well, and the answer to them must be a valid refusal. Exit status 0: all hold.
"""

import copy
import json
import pathlib
import subprocess
import sys

import jsonschema

failures = 0


def say(what: str) -> None:
    global failures
    failures += 1
    print("FAILED:", what)


def faults(validator: jsonschema.Draft202012Validator, document: object) -> list[str]:
    return [f"{error.json_path}: {error.message[:200]}" for error in validator.iter_errors(document)]


def plan_of(plan_house: str, job: str, place: pathlib.Path) -> tuple[int, str, str]:
    """Status, standard output and standard error of planning a job's text."""
    place.write_text(job, encoding="utf-8")
    done = subprocess.run([plan_house, str(place), "--plan", "-"], capture_output=True, text=True, timeout=600)
    return done.returncode, done.stdout, done.stderr


def main(source: pathlib.Path, plan_house: str, more: list[str]) -> int:
    schemas = {}
    for name in ("job", "plan"):
        schema = json.loads((source / "capi" / "schema" / f"{name}.schema.json").read_text(encoding="utf-8"))
        jsonschema.Draft202012Validator.check_schema(schema)
        schemas[name] = jsonschema.Draft202012Validator(schema)
    place = pathlib.Path("validate_schemas_job.json")

    paths = sorted((source / "examples").glob("*.json"))
    paths += sorted(source.glob("tests/vectors/**/*job*.json"))
    paths += [pathlib.Path(p) for p in more]
    jobs = 0
    for path in paths:
        job = json.loads(path.read_text(encoding="utf-8"))
        if not isinstance(job, dict) or "walls" not in job:
            continue
        jobs += 1
        for fault in faults(schemas["job"], job):
            say(f"{path.name} as a job: {fault}")
    for path in sorted(source.glob("tests/vectors/**/*plan*.json")):
        for fault in faults(schemas["plan"], json.loads(path.read_text(encoding="utf-8"))):
            say(f"{path.name} as a plan: {fault}")

    plans = 0
    for path in sorted((source / "examples").glob("*.json")):
        status, text, errors = plan_of(plan_house, path.read_text(encoding="utf-8"), place)
        if status != 0:
            say(f"{path.name} is not planned, status {status}: {errors[:500]}")
            continue
        plans += 1
        for fault in faults(schemas["plan"], json.loads(text))[:10]:
            say(f"plan of {path.name}: {fault}")

    # What is wrong in form is wrong for both; the library's answer is itself a valid document.
    sound = {
        "lapwright": 1,
        "board": {"width": 8.25, "lengths": [144]},
        "walls": [{
            "name": "south",
            "outline": [[0, 0], [240, 0], [240, 108], [0, 108]],
            "edges": ["base", "corner", "top", {"kind": "corner", "gap": "1/8"}],
            "openings": [{"name": "W1", "at": [60, 36], "size": [36, "4 ft"], "trim": {"head": 5}}],
        }],
    }
    if faults(schemas["job"], sound):
        say(f"the sound job: {faults(schemas['job'], sound)}")
    wrong = {
        "unknown key": lambda j: j.update(baord=1),
        "unknown key in a wall": lambda j: j["walls"][0].update(height=108),
        "missing board": lambda j: j.pop("board"),
        "missing width": lambda j: j["board"].pop("width"),
        "missing edges": lambda j: j["walls"][0].pop("edges"),
        "version": lambda j: j.update(lapwright=2),
        "negative width": lambda j: j["board"].update(width=-8),
        "zero width": lambda j: j["board"].update(width=0),
        "text that is no length": lambda j: j["board"].update(width="wide"),
        "true for a length": lambda j: j["board"].update(width=True),
        "no stock": lambda j: j["board"].update(lengths=[]),
        "one length twice": lambda j: j["board"].update(lengths=[144, 144]),
        "price of nothing": lambda j: j["board"].update(prices=[0]),
        "kind of edge": lambda j: j["walls"][0]["edges"].__setitem__(0, "bottom"),
        "edge without a kind": lambda j: j["walls"][0]["edges"].__setitem__(0, {"trim": 1}),
        "two points": lambda j: j["walls"][0].update(outline=[[0, 0], [1, 0]]),
        "point of three": lambda j: j["walls"][0]["outline"].__setitem__(0, [0, 0, 0]),
        "opening of no size": lambda j: j["walls"][0]["openings"][0].pop("size"),
        "opening of two shapes": lambda j: j["walls"][0]["openings"][0].update(outline=[[0, 0], [9, 0], [0, 9]]),
        "negative size": lambda j: j["walls"][0]["openings"][0].update(size=[-36, 48]),
        "negative gap": lambda j: j["walls"][0]["openings"][0].update(gap=-1),
        "mode": lambda j: j.update(courses={"mode": "best"}),
        "half a course": lambda j: j.update(joints={"repeat_after": 2.5}),
        "unit": lambda j: j.update(unit="cm"),
        "walls": lambda j: j.update(walls=[]),
    }
    for name, change in wrong.items():
        job = copy.deepcopy(sound)
        change(job)
        if not faults(schemas["job"], job):
            say(f"{name}: the schema lets it pass")
        status, _, errors = plan_of(plan_house, json.dumps(job), place)
        if status != 2 or not errors.strip():
            say(f"{name}: the library does not refuse it (status {status}): {errors[:300]}")
    refusal = {"lapwright": 1, "errors": [{"path": "board.width", "message": "must be more than 0"}]}
    if faults(schemas["plan"], refusal):
        say("a refusal is no valid answer")
    if not faults(schemas["plan"], {"lapwright": 1, "errors": []}):
        say("a refusal without a fault passes")
    place.unlink(missing_ok=True)
    print(f"{jobs} jobs, {plans} plans, {len(wrong)} wrong jobs held against the schemas; {failures} failures")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main(pathlib.Path(sys.argv[1]), sys.argv[2], sys.argv[3:]))
