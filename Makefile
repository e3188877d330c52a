PY ?= python3
VENV ?= .venv
BIN := $(VENV)/bin
STAMP := $(VENV)/.ready
NODE_TESTS := $(wildcard tests/browser/*.test.mjs)

# a venv whose interpreter went away is not up to date
$(shell $(BIN)/python -c "" 2>/dev/null || rm -f $(STAMP))

.PHONY: run test fix bench clean

run: $(STAMP)
	$(BIN)/python -m server $(ARGS)

test: $(STAMP)
	$(BIN)/python -m ruff check
	$(BIN)/python -m ruff format --check
	$(BIN)/python -m mypy
	$(BIN)/python -m pytest -q -n auto $(ARGS)
ifeq ($(NODE_TESTS),)
	@echo "no tests/browser/*.test.mjs yet: no JavaScript was tested on its own"
else
	@if command -v node >/dev/null; then node --test $(NODE_TESTS); else echo "node is missing: the JavaScript was not tested on its own"; fi
endif

fix: $(STAMP)
	$(BIN)/python -m ruff check --fix
	$(BIN)/python -m ruff format

bench: $(STAMP)
	$(BIN)/python tests/bench/run.py $(ARGS)

clean:
	rm -rf $(VENV) .pytest_cache .mypy_cache .ruff_cache .hypothesis
	find . -name __pycache__ -type d -prune -exec rm -rf {} +

$(STAMP): pyproject.toml Makefile
	@$(BIN)/python -m pip --version >/dev/null 2>&1 || $(PY) -m venv --clear $(VENV) || { echo "python3 needs its venv module (Debian and Ubuntu: apt-get install python3-venv)"; exit 1; }
	$(BIN)/python -m pip install -q --upgrade "pip>=25.1"
	$(BIN)/python -m pip install -q -e . --group dev
	@touch $@
