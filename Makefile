# Everything runs in an environment of its own, .venv, made on first use.
PYTHON ?= python3
BIN := .venv/bin
READY := .venv/.ready

.PHONY: demo test check reference clean

demo: $(READY)  ## compile content/ to site/ and packages/ and say where to look
	$(BIN)/buildlog publish --project content
	$(BIN)/buildlog handover --project content --for buyer --to packages/buyer
	$(BIN)/buildlog handover --project content --for inspector --to packages/inspector

test: $(READY)  ## all tests; those that need a browser are skipped where there is none
	$(BIN)/python -m pytest -n 2 -q

check: $(READY)  ## lint, formatting, types
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

reference: $(READY)  ## write the field reference and the list of checks anew
	$(BIN)/python -m buildlog.reference

clean:  ## take away the environment and what was made
	rm -rf .venv build dist packages
	find site -mindepth 1 -not -name .gitkeep -delete

$(READY): pyproject.toml
	$(PYTHON) -m venv .venv
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --editable ".[dev,heic,preview]"
	touch $(READY)
