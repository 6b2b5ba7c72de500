"""Records as CSV and JSON, read back with the standard library."""

from __future__ import annotations

import csv
import io
import json
from types import MappingProxyType

import numpy as np
import pytest

from harness.paper.records import as_csv, as_json

NAN = float("nan")


@pytest.mark.parametrize(
    ("value", "field"),
    [
        (None, ""), (NAN, ""), (float("inf"), ""), (True, "yes"), (False, "no"), (3, "3"),
        (0.1 + 0.2, "0.3"), (-0.0, "0.0"), (1e-12, "0.0"), (np.float64(2.5), "2.5"),
        (["a", "b"], "a b"), ((), ""), ("x, y", "x, y"), ('"', '"'), ("a\nb", "a\nb"),
        ("=1+1", "'=1+1"), (["@a"], "'@a"), (-1.5, "-1.5"),
    ],
)  # fmt: skip
def test_a_field_of_a_csv(value: object, field: str) -> None:
    text = as_csv(("key", "value"), [{"value": value, "key": "k", "more": 1}])
    head, row = csv.reader(io.StringIO(text, newline=""), strict=True)
    assert head == ["key", "value"]
    assert row == ["k", field]
    assert text.count("\r\n") == 2


def test_json_holds_arrays_and_no_nan() -> None:
    body = {"a": np.array([1.0, NAN]), "b": ("x", True, None), "c": MappingProxyType({"d": 1 / 3})}
    found = json.loads(as_json(body), parse_constant=pytest.fail)
    assert found == {"a": [1.0, None], "b": ["x", True, None], "c": {"d": 0.3333333}}
    assert as_json({"ö": 1}) == '{\n  "ö": 1\n}\n'
