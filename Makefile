# Everything a newcomer needs: `make run` and `make test`. CONTRIBUTING.md explains the rest.
PY ?= python3
V := .venv
BIN := $(V)/bin
UV := $(BIN)/uv pip install -q --python $(BIN)/python --compile-bytecode
NIGHT := examples/brindlecote tuesday --beside B4
REPORT := build/report
# What the screens are built of: a change of it builds them anew.
WEB := $(shell find hatch_build.py web -path web/node_modules -prune -o -type f -print)
# The numerics run on one thread each; parallel tests and small matrices gain nothing from more.
export OMP_NUM_THREADS := 1
export OPENBLAS_NUM_THREADS := 1

.PHONY: run live plan test checked quick validation bench peers docs pages wire lock clean
.DELETE_ON_ERROR:

run: $(V)/run.ok
	$(BIN)/hearthtide plan $(NIGHT) --report $(REPORT) --serve

# A night on its screens: prints an address, a code for the first screen and the PIN of an invented chef.
live: $(V)/run.ok
	$(BIN)/hearthtide rehearse examples/brindlecote tuesday --speed 10

plan: $(V)/run.ok
	$(BIN)/hearthtide plan $(NIGHT) --report $(REPORT)

test: $(V)/dev.ok web/node_modules/.package-lock.json
	$(MAKE) -j 2 checked search.compiled oven.compiled
	$(BIN)/pytest -n 2 --dist loadfile --no-loadscope-reorder --max-worker-restart 0 -rs

# All of `make test` that needs no compiled loop.
checked: $(V)/dev.ok web/node_modules/.package-lock.json
	$(BIN)/ruff check .
	$(BIN)/ruff format --check -q .
	$(BIN)/mypy
	$(BIN)/lint-imports --no-cache
	cd web && ../$(BIN)/node node_modules/typescript/bin/tsc
	cd web && ../$(BIN)/node --test

# The loops on disk before the tests want them, or each worker compiles them for itself.
%.compiled: $(V)/dev.ok
	$(BIN)/python tests/shared/compile_once.py $*

# The tests without the scenarios: what to run between two edits.
quick: $(V)/dev.ok web/node_modules/.package-lock.json search.compiled oven.compiled
	$(BIN)/pytest -n 2 --ignore tests/scenario

# docs/validation.md, from the numbers of the tests that hold it and docs/validation-notes.md.
validation: $(V)/dev.ok
	$(BIN)/pytest -n 2 --dist loadfile tests/reference --write-validation

bench: $(V)/dev.ok
	$(BIN)/pytest benchmarks --ignore benchmarks/peers -o pythonpath="benchmarks tests/shared" -p no:xdist --benchmark-columns=min,median,rounds --benchmark-sort=name -s
	$(BIN)/python benchmarks/draw_cost.py docs/pictures/oven-cost.svg

# Oven and food beside general libraries: several hundred MB more, seven minutes.
peers: $(V)/peers.ok
	$(BIN)/pytest benchmarks/peers -o pythonpath=benchmarks -p no:xdist -s

# Schemas and the README's pictures, from the program itself.
docs: $(V)/run.ok
	$(BIN)/python -m hearthtide.house.schema docs/schema
	mkdir -p build
	$(BIN)/hearthtide plan $(NIGHT) --report $(REPORT) > build/plan.txt
	cp $(REPORT)/pictures/stone-4.svg docs/pictures/stone.svg
	cp $(REPORT)/pictures/landings-4.svg docs/pictures/landings.svg

# Pages on invented data, without a board: build/pages/dev.html?fixture=tuesday#hearth, on this machine alone.
# The data are nights played on the service: `$(BIN)/python tests/shared/pages_fixture.py` writes them anew.
pages: web/node_modules/.package-lock.json
	cd web && ../$(BIN)/node build.mjs ../build/pages --fixtures
	$(BIN)/python -m http.server --bind 127.0.0.1 --directory build/pages 8100

# The types of what board and screens tell each other, from the board's own.
wire: $(V)/run.ok
	$(BIN)/python -m hearthtide.board.wire_types web/src/wire.ts

# New locks from pyproject.toml: hashes, no host names, good for any index.
COMPILE := $(BIN)/uv pip compile -q --universal --python-version 3.11 --generate-hashes --no-header --no-annotate
lock: $(V)/uv.ok
	$(COMPILE) requirements/uv.in -o requirements/uv.txt
	$(COMPILE) requirements/build.in -o requirements/build.txt
	$(COMPILE) pyproject.toml -o requirements/run.txt
	$(COMPILE) pyproject.toml --extra dev -c requirements/run.txt -o requirements/dev.txt
	$(COMPILE) pyproject.toml --extra peers --extra dev -c requirements/dev.txt -o requirements/peers.txt

clean:
	rm -rf $(V) build web/node_modules src/hearthtide/board/static

$(V)/uv.ok: requirements/uv.txt
	$(PY) -m venv $(V)
	$(BIN)/python -m pip install -q --disable-pip-version-check --require-hashes -r $<
	@touch $@

$(V)/run.ok: requirements/run.txt requirements/build.txt pyproject.toml $(WEB) $(V)/uv.ok
	$(UV) --require-hashes -r requirements/run.txt
	$(UV) --no-deps --build-constraints requirements/build.txt -e .
	@touch $@

$(V)/dev.ok: requirements/dev.txt $(V)/run.ok
	$(UV) --require-hashes -r $<
	@touch $@

# The screens' own tools; the build has put them there already unless it had nothing to do.
web/node_modules/.package-lock.json: web/package-lock.json $(V)/dev.ok
	cd web && ../$(BIN)/npm ci
	@touch $@

$(V)/peers.ok: requirements/peers.txt $(V)/dev.ok
	$(UV) --require-hashes -r $<
	@touch $@
