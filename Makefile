# Works from a bare python3 (3.11 to 3.14): everything needed is put into .venv.
#   make demo   make test   make lint   make speed   make campaign   make pages

PYTHON ?= python3
BIN := .venv/bin
READY := .venv/ready

.PHONY: demo test lint speed campaign pages pins clean

demo: $(READY)
	@# exit 1 says the plan has a stop finding: the report stands all the same, and shows it
	$(BIN)/headrace design examples/alley-mower.toml --out demo || [ $$? -eq 1 ]
	@echo "The report: $(CURDIR)/demo/report.html"

test: $(READY)
	$(BIN)/pytest -n 2 --dist loadfile

lint: $(READY)
	$(BIN)/ruff check
	$(BIN)/ruff format --check
	$(BIN)/mypy src tests
	$(BIN)/lint-imports

speed: $(READY)
	$(BIN)/python -m benchmarks

campaign: $(READY)
	$(BIN)/pytest -m campaign

# The pages of docs that are formed from the program: findings/, verbs.md, keys.md.
pages: $(READY)
	$(BIN)/python -m docs.generate

# New pins for every supported Python; wants the uv program.
pins:
	uv --no-config pip compile --universal --python-version 3.11 --no-header --no-annotate \
		--extra dev --upgrade --quiet pyproject.toml --output-file requirements-dev.txt

clean:
	rm -rf .venv demo

$(READY): requirements-dev.txt pyproject.toml
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11) and "headrace needs Python 3.11 or newer")'
	$(PYTHON) -m venv .venv
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -r requirements-dev.txt
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation --editable .
	@touch $@
