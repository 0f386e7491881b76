# Two commands matter: `make demo` shows Lantern Street, `make test` runs everything CI runs.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
ARGS ?=

.PHONY: setup demo test check bench lock clean

setup: $(VENV)/run.stamp

$(VENV)/run.stamp: pyproject.toml requirements/run.txt
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -r requirements/run.txt
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps -e .
	touch $@

$(VENV)/test.stamp: $(VENV)/run.stamp requirements/test.txt
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -r requirements/test.txt
	touch $@

demo: setup
	$(BIN)/gyle demo $(ARGS)

check: $(VENV)/test.stamp
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports

test: $(VENV)/test.stamp check
	$(BIN)/python -m pytest -n 2 --doctest-modules src tests $(ARGS)
	$(BIN)/gyle ledger

bench: $(VENV)/test.stamp
	$(BIN)/python -m bench $(ARGS)

lock:
	$(PYTHON) -m venv $(VENV)/lock
	$(VENV)/lock/bin/python -m pip install --quiet --disable-pip-version-check pip-tools
	$(VENV)/lock/bin/pip-compile --quiet --strip-extras --no-emit-index-url --no-emit-trusted-host --no-header \
		--generate-hashes --output-file requirements/run.txt pyproject.toml
	$(VENV)/lock/bin/pip-compile --quiet --strip-extras --no-emit-index-url --no-emit-trusted-host --no-header \
		--generate-hashes --extra test --output-file requirements/test.txt --constraint requirements/run.txt pyproject.toml

clean:
	rm -rf $(VENV) .mypy_cache .ruff_cache .hypothesis dist
