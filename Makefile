# Two commands matter: `make demo` shows Lantern Street, `make test` runs everything CI runs.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
ARGS ?=

# What the pages need from npm; the build hook lays it there, with Node as a wheel where there is no npm.
VENDOR := src/gyle/web/assets/vendor
FRONTEND := frontend/package.json frontend/package-lock.json hatch_build.py
CHECKER := frontend/node_modules/axe-core/axe.min.js

PYTEST := $(BIN)/python -m pytest -n 2
# With ARGS a part may hold no test that was asked for; without, an empty part is a failure.
SOME = $(if $(ARGS),|| [ $$? -eq 5 ])

.PHONY: setup demo test check bench lock clean

setup: $(VENV)/run.stamp $(VENDOR)/manifest.json

$(VENV)/run.stamp: pyproject.toml requirements/run.txt $(FRONTEND)
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -r requirements/run.txt
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps -e .
	touch $@

# Laid by the rule above; installed again only where someone has cleared them away.
$(VENDOR)/manifest.json $(CHECKER): | $(VENV)/run.stamp
	test -f $@ || $(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps -e .

$(VENV)/test.stamp: $(VENV)/run.stamp requirements/test.txt
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -r requirements/test.txt
	touch $@

demo: setup
	$(BIN)/gyle demo $(ARGS)

check: $(VENV)/test.stamp
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports --no-cache

# The browser comes last and by itself; a file of its tests stays in one process, which has its own server and browser.
# The store's migrations are run by Alembic and can only be imported by it.
test: $(VENV)/test.stamp $(VENDOR)/manifest.json $(CHECKER) check
	$(PYTEST) --doctest-modules src tests --ignore tests/browser --ignore-glob '*/migrations/*' $(ARGS) $(SOME)
	$(PYTEST) --dist loadfile tests/browser $(ARGS) $(SOME)
	$(BIN)/gyle ledger

bench: $(VENV)/test.stamp
	$(BIN)/python -m bench $(ARGS)

# A lock names versions and hashes, never where they come from.
LOCK_FORM := --no-header --no-emit-index-url --no-emit-trusted-host --no-emit-find-links --generate-hashes

lock:
	$(PYTHON) -m venv $(VENV)/lock
	$(VENV)/lock/bin/python -m pip install --quiet --disable-pip-version-check pip-tools
	$(VENV)/lock/bin/pip-compile --quiet --strip-extras $(LOCK_FORM) \
		--output-file requirements/run.txt pyproject.toml
	$(VENV)/lock/bin/pip-compile --quiet --strip-extras $(LOCK_FORM) \
		--extra test --output-file requirements/test.txt --constraint requirements/run.txt pyproject.toml

clean:
	rm -rf $(VENV) .mypy_cache .ruff_cache .hypothesis dist
	rm -rf frontend/node_modules $(VENDOR)
