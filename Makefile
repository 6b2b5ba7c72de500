# Two commands do all set-up: `make` runs the main job on the headline example, `make test` passes the tests.
PYTHON ?= python3
BIN := .venv/bin
SEED ?= 1
MUTANTS ?= 200
MINUTES ?= 60

.PHONY: all test lint bench mutants fuzz clean

all: .venv/ready
	$(BIN)/harness book examples/saltmarsh-19.yaml --out out

.venv/ready: pyproject.toml requirements.lock
	$(PYTHON) -m venv .venv
	$(BIN)/python -m pip install --quiet --require-hashes --requirement requirements.lock
	$(BIN)/python -m pip install --quiet --no-deps --editable .
	touch $@

test: .venv/ready
	$(BIN)/python -m pytest

lint: .venv/ready
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports

bench: .venv/ready
	$(BIN)/python tests/benchmarks/house.py
	$(BIN)/python tests/benchmarks/plan_bench.py
	$(BIN)/python tests/benchmarks/bench.py

mutants: .venv/ready
	PYTHONPATH=tests $(BIN)/python -m mutants --seed $(SEED) --size $(MUTANTS)

fuzz: .venv/ready
	PYTHONPATH=.:tests $(BIN)/python -m fuzz.campaign --minutes $(MINUTES) $(if $(filter command line,$(origin SEED)),--seed $(SEED))

clean:
	rm -rf .venv out
