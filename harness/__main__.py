"""`python -m harness`."""

from harness.faces.cli import main

main()
