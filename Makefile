# Everything runs in .venv, set up from uv.lock; all that is needed beforehand is Python 3.11 or newer, pip and make.

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
UV := $(BIN)/uv

PEER := .peer

# The PDF of a build sheet is checked by two programs from Debian's packages.
PDF_TOOLS := qpdf pdftotext

.PHONY: demo test pdf-tools check format bench peer docs evidence reference lock clean

demo: $(VENV)/ready
	$(BIN)/airfettle demo
	$(BIN)/airfettle sheet examples/canoe_works.toml -o canoe_works_sheet.pdf

test: $(VENV)/ready pdf-tools
	$(BIN)/pytest -n auto --dist loadfile

pdf-tools:
	@for tool in $(PDF_TOOLS); do command -v $$tool >/dev/null || missing=yes; done; \
	if [ "$$missing" = yes ]; then \
	  sudo=$$([ "$$(id -u)" = 0 ] || echo "sudo -n"); \
	  { $$sudo apt-get update -qq && DEBIAN_FRONTEND=noninteractive $$sudo apt-get install -y -qq qpdf poppler-utils >/dev/null; } || \
	  echo "qpdf and poppler-utils cannot be installed: the checks of the PDF need them"; \
	fi

check: $(VENV)/ready
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports --no-logo

format: $(VENV)/ready
	$(BIN)/ruff format .
	$(BIN)/ruff check --fix .

bench: $(VENV)/ready peer
	$(BIN)/pytest benchmarks --benchmark-enable --benchmark-columns=min,median,ops -o python_files='bench_*.py' -s

# pandapipes, which some figures and one benchmark are held against, stays out of the project's lock.
peer:
	@test -x $(PEER)/bin/python || ($(PYTHON) -m venv $(PEER) && \
	  $(PEER)/bin/python -m pip install --quiet --disable-pip-version-check 'pandapipes==0.16.0' numba) || \
	  echo "pandapipes cannot be had: its ratios are left out"

docs: $(VENV)/ready reference
	$(BIN)/sphinx-build -W -q -b html docs docs/_build/html
	@echo "docs/_build/html/index.html"

reference: $(VENV)/ready
	$(BIN)/python docs/make_reference.py
	$(BIN)/python docs/make_symbols.py

evidence: $(VENV)/ready
	rm -f docs/_build/evidence.jsonl && mkdir -p docs/_build
	$(BIN)/pytest tests/published -q --evidence docs/_build/evidence.jsonl
	$(BIN)/python docs/make_evidence.py docs/_build/evidence.jsonl
	$(BIN)/python docs/make_honesty.py

lock: $(UV)
	env -u UV_INDEX_URL -u PIP_INDEX_URL $(UV) lock --default-index https://pypi.org/simple

$(UV):
	$(PYTHON) -c 'import sys; assert sys.version_info >= (3, 11), "airfettle needs Python 3.11 or newer"'
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check 'uv>=0.9'

$(VENV)/ready: $(UV) uv.lock pyproject.toml
	UV_PROJECT_ENVIRONMENT=$(VENV) $(UV) sync --quiet --frozen --inexact
	@touch $@

clean:
	rm -rf $(VENV) $(PEER) docs/_build .mypy_cache .ruff_cache .hypothesis .import_linter_cache
