PYTHON ?= python3
VENV ?= .venv
PORT ?= 8000
BIN := $(VENV)/bin
TOWN := site_demo/town/built/background.geojson

.PHONY: demo site author test lint unit browser guide bench clean

demo: site ## build the demo and serve it
	@echo "The demo is at http://127.0.0.1:$(PORT)/ (stop it with Ctrl-C)"
	@$(BIN)/python -m http.server --bind 127.0.0.1 --directory site $(PORT) >/dev/null

site: $(VENV)/installed $(TOWN) ## build the demo into site/
	NO_MKDOCS_2_WARNING=1 $(BIN)/mkdocs build --strict --clean

author: $(VENV)/installed $(TOWN) ## serve the demo as its author sees it: drafts, faults, positions
	NO_MKDOCS_2_WARNING=1 $(BIN)/mkdocs serve --dev-addr 127.0.0.1:$(PORT)

test: lint unit site ## all that CI runs
	$(BIN)/softpedal check

lint: $(VENV)/installed
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

unit: $(VENV)/installed $(TOWN) browser
	$(BIN)/python -m pytest -q -n auto --dist loadfile

# A browser for the browser tests: the system's, installed by apt where we may.
browser:
	@if [ -n "$$CHROMIUM" ] || command -v chromium chromium-browser google-chrome >/dev/null 2>&1; then :; \
	elif [ "$$(id -u)" = 0 ] && command -v apt-get >/dev/null 2>&1; then \
		apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq chromium >/dev/null; \
	else echo "No Chromium found: the browser tests will be skipped (install it, or set CHROMIUM=)."; fi

guide: $(VENV)/installed ## the guide's reference pages and the schemas, from the models
	$(BIN)/softpedal schema notes > plugin/softpedal/library/notes.schema.json
	$(BIN)/softpedal schema settings > plugin/softpedal/library/settings.schema.json
	$(BIN)/softpedal guide notes > site_demo/notes-format.md
	$(BIN)/softpedal guide settings > site_demo/settings.md
	$(BIN)/softpedal guide problems > site_demo/problems.md
	$(BIN)/softpedal guide commands > site_demo/commands.md

bench: $(VENV)/installed
	$(BIN)/python benchmarks/build.py

$(TOWN): $(VENV)/installed $(wildcard site_demo/town/*.py)
	$(BIN)/python site_demo/town/make_town.py

$(VENV)/installed: pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -e '.[test]'
	@touch $@

clean:
	rm -rf site .softpedal site_demo/town/built $(VENV)
