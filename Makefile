VENV := .venv
PY := $(VENV)/bin/python
PIP := $(PY) -m pip install --quiet --constraint constraints.txt
unexport PYTHONDONTWRITEBYTECODE # each of the tests' workshops would compile the program anew
.PHONY: demo test test-quick test-postgresql check wording bench constraints clean

$(VENV)/ready: pyproject.toml constraints.txt
	python3 start.py set-up

$(VENV)/ready-test: $(VENV)/ready
	$(PIP) --group test --group check
	$(PIP) --no-deps pressfit
	$(PY) -m pip download --quiet --no-deps --no-binary :all: --dest $(VENV)/outside tabletop-pta==0.1.0
	touch $@

$(VENV)/ready-bench: $(VENV)/ready
	$(PIP) --group bench
	touch $@

demo: ## read demo recordings, fill a demo workshop, open it (with CI=1 not: it stays open)
	python3 start.py demo

test: $(VENV)/ready-test ## run every test
	$(PY) -m pytest -n 2 --dist worksteal

test-quick: $(VENV)/ready-test ## run the tests nearest to your change, for a hundred seconds
	$(PY) .ci/quick.py

test-postgresql: $(VENV)/ready-test ## run the workshop's tests on a throw-away PostgreSQL
	.ci/postgresql $(PY) -m pytest -n 2 --dist worksteal tests/web

check: $(VENV)/ready-test ## style, types, layers
	$(VENV)/bin/ruff format --check .
	$(VENV)/bin/ruff check .
	$(VENV)/bin/mypy
	$(VENV)/bin/lint-imports

wording: $(VENV)/ready ## bring the catalogues of the owners' papers up to date with the code
	$(PY) .ci/wording.py

bench: $(VENV)/ready-bench ## print the benchmark figures
	$(PY) benchmarks/run.py

constraints: $(VENV)/ready ## take the newest versions that pyproject.toml allows into constraints.txt
	$(PY) -m pip install --quiet --dry-run --ignore-installed --report $(VENV)/newest.json \
		--editable ".[live,postgresql]" --group test --group check --group bench \
		pip setuptools pressfit colorama
	$(PY) .ci/constraints.py < $(VENV)/newest.json

clean:
	rm -rf $(VENV) demo build dist
