# Everything a newcomer needs: `make run` and `make test`. CONTRIBUTING.md explains the rest.
PY ?= python3
V := .venv
BIN := $(V)/bin
UV := $(BIN)/uv pip install -q --python $(BIN)/python --compile-bytecode
NIGHT := examples/brindlecote tuesday

.PHONY: run plan test quick bench docs lock clean
.DELETE_ON_ERROR:

$(V)/uv.ok: requirements/uv.txt
	$(PY) -m venv $(V)
	$(BIN)/python -m pip install -q --disable-pip-version-check --require-hashes -r $<
	@touch $@

$(V)/run.ok: requirements/run.txt requirements/build.txt pyproject.toml $(V)/uv.ok
	$(UV) --require-hashes -r requirements/run.txt
	$(UV) --no-deps --build-constraints requirements/build.txt -e .
	@touch $@

$(V)/dev.ok: requirements/dev.txt $(V)/run.ok
	$(UV) --require-hashes -r $<
	@touch $@
