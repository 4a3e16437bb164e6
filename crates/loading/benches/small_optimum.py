"""Least heights of small sets, proved with CP-SAT of OR-Tools.

Reads on standard input {"sets": [{"seed": n, "base": [l, w], "boxes": [[[l, w, h], ...ways], ...]}, ...]}
in whole units; writes "solver NAME VERSION", then one line "seed height seconds" per set. A set that is
not proved within the limit has "unproved" for its height.
"""

import json
import sys
import time

import ortools
from ortools.sat.python import cp_model

# Most seconds for one set.
LIMIT_S = 300.0
WORKERS = 2


def least_height(base, boxes):
    model = cp_model.CpModel()
    ceiling = sum(max(way[2] for way in ways) for ways in boxes)
    high = [base[0], base[1], ceiling]
    at, size, ends = [], [], []
    for i, ways in enumerate(boxes):
        lies = [model.new_bool_var(f"lies {i} {k}") for k in range(len(ways))]
        model.add_exactly_one(lies)
        sizes = [sum(way[axis] * lies[k] for k, way in enumerate(ways)) for axis in range(3)]
        corner = [model.new_int_var(0, high[axis], f"at {i} {axis}") for axis in range(3)]
        at.append(corner)
        size.append(sizes)
        for axis in range(2):
            model.add(corner[axis] + sizes[axis] <= high[axis])
    height = model.new_int_var(1, ceiling, "height")
    for corner, sizes in zip(at, size):
        model.add(corner[2] + sizes[2] <= height)
    volume = sum(ways[0][0] * ways[0][1] * ways[0][2] for ways in boxes)
    model.add(height >= -(-volume // (base[0] * base[1])))
    for i in range(len(boxes)):
        for j in range(i):
            apart = []
            for axis in range(3):
                for one, other in ((i, j), (j, i)):
                    before = model.new_bool_var(f"before {one} {other} {axis}")
                    model.add(
                        at[one][axis] + size[one][axis] <= at[other][axis]
                    ).only_enforce_if(before)
                    apart.append(before)
            model.add_bool_or(apart)
    model.minimize(height)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = LIMIT_S
    solver.parameters.num_workers = WORKERS
    status = solver.solve(model)
    if status == cp_model.INFEASIBLE:
        return "none"
    return str(round(solver.objective_value)) if status == cp_model.OPTIMAL else "unproved"


def main():
    print(f"solver OR-Tools CP-SAT {ortools.__version__}", flush=True)
    for one in json.load(sys.stdin)["sets"]:
        started = time.monotonic()
        height = least_height(one["base"], one["boxes"])
        print(one["seed"], height, f"{time.monotonic() - started:.2f}", flush=True)


main()
