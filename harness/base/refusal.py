"""The error that ends a job with one clear line for people."""

from __future__ import annotations


class Refusal(Exception):  # noqa: N818 - what it is
    """Something that cannot be done, said so that a builder knows why and what to do."""
