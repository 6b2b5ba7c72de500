"""What the package offers by name: each is there, and none costs anything before its use."""

from __future__ import annotations

import subprocess
import sys

import pytest

import harness


@pytest.mark.parametrize("name", harness.__all__)
def test_every_name_leads_somewhere(name: str) -> None:
    found = getattr(harness, name)
    assert found.__doc__
    assert found.__module__.startswith("harness.")


def test_an_unknown_name_is_an_attribute_error() -> None:
    with pytest.raises(AttributeError, match="no attribute 'proposes'"):
        _ = harness.proposes


def test_two_plans_and_two_records_are_compared_under_different_names() -> None:
    assert harness.compare is not harness.compare_results
    assert harness.render is not harness.render_paper


def test_the_package_alone_loads_nothing_of_it() -> None:
    code = "import sys, harness; print([m for m in sys.modules if m.startswith('harness.')])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"
