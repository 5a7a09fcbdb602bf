# Two commands: `make demo` and `make test`. The rest serves those who change sixwright.
# All that is needed beforehand: git, make and Python 3.11 or newer.

PYTHON ?= $(firstword $(foreach name,python3 python3.13 python3.12 python3.11 python,$(shell \
	command -v $(name) >/dev/null 2>&1 && \
	$(name) -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null && echo $(name))))

# Windows lays a virtual environment's commands in Scripts, everything else in bin.
BIN := .venv/$(if $(filter Windows_NT,$(OS)),Scripts,bin)
PY := $(BIN)/python
PIP := $(PY) -m pip --disable-pip-version-check --no-input install --quiet --require-hashes

# A stamp's name carries the checksum of the locks it stands for, so that a changed lock, and
# nothing else, makes set-up run again.
checksum = $(firstword $(shell cat $(1) | cksum))
RUN_LOCKS := requirements/run.txt requirements/build.txt
RUN_STAMP := build/.setup-run-$(call checksum,$(RUN_LOCKS) pyproject.toml)
TEST_STAMP := build/.setup-test-$(call checksum,requirements/test.txt)

LOCK := uv pip compile --quiet --universal --generate-hashes --no-emit-index-url \
	--custom-compile-command "make lock"

.PHONY: demo heads test slow bench lock client clean help

help:
	@echo "make demo    set up, check the demo line, write build/demo/report.html"
	@echo "             (SERVE=1 keeps its pages up)"
	@echo "make heads   meshes of the demo's heads, which the demo line names; meshes of parts"
	@echo "make test    set up, then every check and test"
	@echo "make slow    the tests that take minutes"
	@echo "make bench   the benchmarks, side by side with general-purpose libraries"
	@echo "make lock    renew the lock files (needs uv and npm)"
	@echo "make clean   remove all that the commands above made"

demo: heads client
	@$(PY) tools/demo.py $(if $(SERVE),--serve)

heads: $(RUN_STAMP)
	@$(PY) tools/demo_heads.py
	@$(PY) tools/demo_parts.py

test: $(RUN_STAMP) $(TEST_STAMP) client
	@$(PY) tools/find_browser.py
	$(PY) -m ruff check .
	$(PY) -m ruff format --check .
	$(PY) -m mypy
	$(BIN)/lint-imports --no-logo
	@$(PY) tools/build_client.py --check
	$(PY) -m pytest -q -n 2

slow: $(RUN_STAMP) $(TEST_STAMP) client
	$(PY) -m pytest -q -m slow --timeout 3600
	$(PY) -m pytest -q -m hypothesis --hypothesis-profile search

bench: $(RUN_STAMP)
	@$(PIP) -r requirements/bench.txt
	$(PY) benchmarks/start.py
	$(PY) benchmarks/report.py
	$(PY) benchmarks/choices.py
	$(PY) benchmarks/edit.py
	$(PY) benchmarks/likeness.py
	$(PY) benchmarks/growth.py
	$(PY) benchmarks/meshes.py
	$(PY) benchmarks/voices.py
	$(PY) benchmarks/dates.py

client: $(RUN_STAMP)
	@$(PY) tools/build_client.py

lock:
	@command -v uv >/dev/null || { echo "make lock needs uv; the other commands do not."; exit 1; }
	$(LOCK) pyproject.toml -o requirements/run.txt
	$(LOCK) pyproject.toml --extra test -c requirements/run.txt -o requirements/test.txt
	$(LOCK) pyproject.toml --extra bench -c requirements/test.txt -o requirements/bench.txt
	$(LOCK) requirements/build.in -c requirements/test.txt -o requirements/build.txt
	$(LOCK) requirements/node.in -o requirements/node.txt
	cd src/sixwright/web/client && npm install --package-lock-only --ignore-scripts

clean:
	rm -rf .venv build dist src/sixwright/web/static/*.js \
		src/sixwright/reports/assets/fonts src/sixwright/web/client/node_modules

.venv/pyvenv.cfg:
	@test -n "$(PYTHON)" || { echo "sixwright needs Python 3.11 or newer; none was found."; exit 1; }
	@echo "Setting up .venv (once; minutes at most)."
	@$(PYTHON) -m venv .venv

$(RUN_STAMP): .venv/pyvenv.cfg
	@echo "Installing what sixwright needs, from its lock."
	@$(PIP) -r requirements/run.txt -r requirements/build.txt
	@$(PY) -m pip --disable-pip-version-check --no-input install --quiet \
		--no-deps --no-build-isolation --editable .
	@mkdir -p build && rm -f build/.setup-run-* && touch $@

$(TEST_STAMP): $(RUN_STAMP)
	@echo "Installing what the tests need, from its lock."
	@$(PIP) -r requirements/test.txt
	@mkdir -p build && rm -f build/.setup-test-* && touch $@
