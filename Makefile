# Prepwright: what can be done here. `make help` lists it.
PYTHON ?= python3
BIN := .venv/bin
ASK := "make 250 mL of 0.1 M zinc sulfate heptahydrate"

.PHONY: help run test check serve bench openapi pages clean
.DEFAULT_GOAL := help

help: ## list the targets
	@awk -F ':.*## ' '/^[a-z]+:.*## /{printf "  make %-8s %s\n", $$1, $$2}' $(MAKEFILE_LIST)

# Stamps: made again only when the dependencies change. The compiled bytecode makes the first answer quick.
.venv/run.stamp: pyproject.toml constraints.txt
	test -x $(BIN)/python || $(PYTHON) -m venv .venv
	$(BIN)/pip install -q -c constraints.txt -e .
	$(BIN)/python -m compileall -q grammar rules service clients
	$(BIN)/python -m rules.tables.snapshot
	touch $@

.venv/dev.stamp: pyproject.toml constraints.txt
	test -x $(BIN)/python || $(PYTHON) -m venv .venv
	$(BIN)/pip install -q -c constraints.txt -e '.[dev,postgresql,print,sign-in]'
	$(BIN)/python -m compileall -q grammar rules service clients
	$(BIN)/python -m rules.tables.snapshot
	touch $@ .venv/run.stamp

run: .venv/run.stamp ## install into .venv and answer one request
	@$(BIN)/prepwright ask $(ASK)
	@echo
	@echo 'Now yours:    $(BIN)/prepwright ask "250 mL of 0.1 M sodium chloride"'
	@echo 'A dialogue:   $(BIN)/prepwright chat'
	@echo 'For programs: make serve'

# The page alone, for its times are measured; then two halves side by side, one a core: servers, and everything else.
SERVERS := tests/service tests/contract
test: .venv/dev.stamp ## run every test
	$(BIN)/python -m pytest tests/web
	@log=$$(mktemp); \
	$(BIN)/python -m pytest $(SERVERS) > "$$log" 2>&1 & servers=$$!; \
	$(BIN)/python -m pytest $(addprefix --ignore=,tests/web $(SERVERS)); rest=$$?; \
	wait $$servers; servers=$$?; cat "$$log"; rm -f "$$log"; \
	[ $$servers -eq 0 ] && [ $$rest -eq 0 ]

check: .venv/dev.stamp ## style, types and import direction
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports

serve: .venv/run.stamp ## run the API on this machine
	$(BIN)/prepwright serve

bench: .venv/dev.stamp ## measure the costs next to their ceilings
	$(BIN)/python -m tests.bench

openapi: .venv/dev.stamp ## write the published contract anew
	$(BIN)/python -m service.openapi

pages: .venv/dev.stamp ## write the generated pages of docs anew
	$(BIN)/python -m service.reference.pages

clean: ## remove what was built
	rm -rf .venv .pytest_cache .mypy_cache .ruff_cache .hypothesis .import_linter_cache
