#!/usr/bin/env python3
"""Reference values for the matrix models of `outlook`, computed apart from the program with numpy's eigenvalues.

Made with numpy 2.4.6. To make them again:

    python3 -m venv /tmp/venv && /tmp/venv/bin/pip install numpy
    /tmp/venv/bin/python tests/reference/matrix.py          (writes matrix.json beside this file)
"""
import json
import pathlib

import numpy as np


def dominant(m):
    values, vectors = np.linalg.eig(m)
    at = int(np.argmax(values.real))
    assert abs(values[at].imag) < 1e-12
    v = vectors[:, at].real
    return float(values[at].real), (v / v.sum()).tolist()


def case(name, m, start, steps):
    m = np.array(m, dtype=float)
    value, structure = dominant(m)
    end = np.linalg.matrix_power(m, steps) @ np.array(start, dtype=float)
    return dict(name=name, matrix=m.tolist(), start=start, steps=steps, end=end.tolist(), **{"lambda": value},
                structure=structure)


# (matrix, start); the last two and the orchards are invented
three = [
    case("Gatto & Casagrandi 2003", [[0, 1.6, 1.2], [.8, 0, 0], [0, .7, 0]], [40, 0, 20], 10),
    case("lambda 2", [[0, 9, 12], [1 / 3, 0, 0], [0, 1 / 2, 0]], [1, 1, 1], 7),
    case("in turns", [[0, 0, 6], [.9, 0, 0], [0, .8, 0]], [10, 5, 0], 9),
]
four = [
    case("Caswell 2001, example 5.1",
         [[0, .0043, .1132, 0], [.9775, .9111, 0, 0], [0, .0736, .9534, 0], [0, 0, .0452, .9804]], [10, 60, 110, 70], 50),
    case("shrinking", [[.1, .3, .2, 0], [.5, .1, 0, 0], [0, .4, .2, .1], [0, 0, .3, .5]], [9, 1, 4, 2], 6),
]

# Wood under fixed habits: n' = K (A n + g), solved for the wood that they lead to, n = (I - K A)^-1 K g
orchards = []
for grown, survival, keep in [
    (48.0, [.92, .95, .95, .90], [.55, .9, .95, .1]),
    (30.0, [.80, .85, .90, .70], [.40, 1.0, .7, .35]),
    (120.0, [1.0, 1.0, 1.0, 1.0], [.25, .5, .75, .2]),
]:
    s1, s2, s3, s4 = survival
    a = np.array([[0, 0, 0, 0], [s1, 0, 0, 0], [0, s2, 0, 0], [0, 0, s3, s4]])
    k = np.diag(keep)
    g = np.array([grown, 0, 0, 0])
    n = np.array([20.0, 25.0, 30.0, 2.0])
    for _ in range(4):
        n = k @ (a @ n + g)
    steady = np.linalg.solve(np.eye(4) - k @ a, k @ g)
    orchards.append(dict(grown=grown, survival=survival, keep=keep, start=[20.0, 25.0, 30.0, 2.0], after_four=n.tolist(),
                         steady=steady.tolist()))

out = pathlib.Path(__file__).with_name("matrix.json")
out.write_text(json.dumps(dict(three=three, four=four, orchards=orchards), indent=1) + "\n")
print(f"{out.name}: {len(three) + len(four)} matrices, {len(orchards)} orchards, numpy {np.__version__}")
