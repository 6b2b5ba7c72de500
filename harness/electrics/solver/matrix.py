"""Linear equations of a batch of draws: one that is singular is lost alone, and comes back nan."""

from __future__ import annotations

from contextlib import suppress

import numpy as np
from numpy.typing import NDArray

from harness.electrics.solver.circuit import LEAK, Array

LEAKS = (0.0, LEAK)
"""S laid at every node of a matrix that is singular: a falling slope may cancel what holds one."""


def dense(matrix: Array, right: Array, nodes: int) -> Array:
    """Solve a stack, shape (draws, unknowns, unknowns); the first `nodes` unknowns are volts.

    `right` and what is returned: shape (draws, unknowns). `matrix` is not kept as it was.
    """
    try:
        return np.asarray(np.linalg.solve(matrix, right[:, :, None])[:, :, 0])
    except np.linalg.LinAlgError:
        found = np.full_like(right, np.nan)
    for n, (one, side) in enumerate(zip(matrix, right, strict=True)):
        for leak in LEAKS:
            one[range(nodes), range(nodes)] += leak
            with suppress(np.linalg.LinAlgError):
                found[n] = np.linalg.solve(one, side)
                break
    return found


def eliminated(matrix: Array, right: Array) -> Array:
    """Solve one set of equations by sums and products in one order: the same bits everywhere.

    A library's depend on the processor. What is singular comes back as nan.
    """
    rows, size = np.column_stack([matrix, right]), len(right)
    found = np.zeros(size)
    with np.errstate(all="ignore"):
        for k in range(size):
            best = k + int(np.argmax(np.abs(rows[k:, k])))
            rows[[k, best]] = rows[[best, k]]
            below, along = k + 1 + np.flatnonzero(rows[k + 1 :, k]), np.flatnonzero(rows[k])
            rows[np.ix_(below, along)] -= np.outer(rows[below, k] / rows[k, k], rows[k, along])
        for k in reversed(range(size)):
            known = np.sum(rows[k, k + 1 : size] * found[k + 1 :])
            found[k] = (rows[k, size] - known) / rows[k, k]
    return found


def sparse(
    values: Array, rows: NDArray[np.int_], cols: NDArray[np.int_], right: Array, nodes: int
) -> Array:
    """The same of matrices given by their `values`, shape (draws, entries), at rows and columns."""
    from scipy.sparse import coo_matrix, diags
    from scipy.sparse.linalg import splu

    found, size = np.full_like(right, np.nan), right.shape[1]
    for n, (data, side) in enumerate(zip(values, right, strict=True)):
        matrix = coo_matrix((data, (rows, cols)), (size, size)).tocsc()
        for leak in LEAKS:
            if leak:
                matrix = (matrix + diags(leak * (np.arange(size) < nodes))).tocsc()
            with suppress(RuntimeError):
                found[n] = splu(matrix).solve(side)
                break
    return found
