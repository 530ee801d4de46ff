"""What reading a plan from Python costs beside the planning itself, in CPU milliseconds for 500 pieces.
   LAPWRIGHT_LIBRARY=... read_rows.py JOB.json"""
import os
import sys
import time

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "capi", "python"))
import lapwright  # noqa: E402

with open(sys.argv[1], encoding="utf-8") as file:
    job = file.read()


def best(call, rounds=40):
    least = float("inf")
    for _ in range(rounds):
        start = time.process_time()
        call()
        least = min(least, time.process_time() - start)
    return least * 1000


planning = best(lambda: lapwright.plan(job), 3)
plan = lapwright.plan(job)
count = len(plan.pieces)
scale = 500 / count
print(f"{count} pieces planned in {planning:.1f} ms; for 500 pieces:")
for what, call in {
    "every row": lambda: [p for p in plan.pieces],
    "every row's length": lambda: [p.length for p in plan.pieces],
    "every row's id, callout, length": lambda: [(p.id, p.callout, p.length) for p in plan.pieces],
    "length by index": lambda: [plan.pieces[i].length for i in range(count)],
    "all lengths as an array": lambda: plan.pieces.array()["length"].sum(),
}.items():
    try:
        cost = best(call) * scale
    except ImportError:
        print(f"  {what:34} no numpy")
        continue
    print(f"  {what:34} {cost:6.3f} ms, {100 * cost / (planning * scale):.2f} percent of planning")
