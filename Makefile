VENV := .venv
PY := $(VENV)/bin/python
.PHONY: demo test test-postgresql check bench clean

$(VENV)/ready: pyproject.toml
	python3 -m venv $(VENV)
	$(PY) -m pip install --quiet --upgrade "pip>=25.1"
	$(PY) -m pip install --quiet --editable .
	touch $@

$(VENV)/ready-test: $(VENV)/ready
	$(PY) -m pip install --quiet --group test --group check
	$(PY) -m pip install --quiet --no-deps pressfit
	$(PY) -m pip download --quiet --no-deps --no-binary :all: --dest $(VENV)/outside tabletop-pta==0.1.0
	touch $@

$(VENV)/ready-bench: $(VENV)/ready
	$(PY) -m pip install --quiet --group bench
	touch $@

demo: $(VENV)/ready ## read demo recordings, fill a demo workshop, open it (not in CI: it stays open)
	$(VENV)/bin/sideshake demo demo
	$(if $(CI),,DATABASE_URL= SIDESHAKE_FILES= SIDESHAKE_DATA=demo/workshop $(VENV)/bin/sideshake bench)

test: $(VENV)/ready-test ## run every test
	$(PY) -m pytest -n 2

test-postgresql: $(VENV)/ready-test ## run the workshop's tests on a throw-away PostgreSQL
	.ci/postgresql $(PY) -m pytest -n 2 tests/bench

check: $(VENV)/ready-test ## style, types, layers
	$(VENV)/bin/ruff format --check .
	$(VENV)/bin/ruff check .
	$(VENV)/bin/mypy
	$(VENV)/bin/lint-imports

bench: $(VENV)/ready-bench ## print the benchmark figures
	$(PY) benchmarks/run.py

clean:
	rm -rf $(VENV) demo build dist
