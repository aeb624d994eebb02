# Two commands do it all on a fresh machine: make demo, make test.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
PIP := $(BIN)/python -m pip --disable-pip-version-check --quiet
COMPILE := $(BIN)/uv pip compile --universal --fork-strategy fewest --generate-hashes --no-emit-index-url --no-header \
	--python-version 3.11

# A module is compiled when it is first used, and then for all the processes that follow: of what is installed most is
# never used, so that compiling all of it would take longer than installing it does.
INSTALL := $(PIP) install --no-compile --require-hashes
unexport PYTHONDONTWRITEBYTECODE

.PHONY: demo test tests ready bench lint lock clean

demo: $(BIN)/saidseen
	$(BIN)/saidseen demo demo-book

test: lint tests

# Each of the two workers keeps one processor busy: neither works out a matrix with both.
tests: ready
	OPENBLAS_NUM_THREADS=1 $(BIN)/python -m pytest -n 2 --dist loadfile --no-loadscope-reorder

# How quick, how small, and how both grow; docs/performance.md tells what came of it. Takes an hour or two.
bench: $(VENV)/.can-run
	$(BIN)/python -m measuring.intake
	$(BIN)/python -m measuring.hearing
	$(BIN)/python -m measuring.rerun
	$(BIN)/python -m measuring.memory
	$(BIN)/python -m measuring.growth

# All that the tests need; make -j 2 ready takes less time.
ready: $(VENV)/.can-test $(VENV)/.can-listen

lint: $(VENV)/.can-test
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

$(VENV)/.can-run: requirements.lock
	$(PYTHON) -m venv $(VENV)
	$(INSTALL) -r requirements.lock
	touch $@

# The command itself, as people type it; it runs what lies here.
$(BIN)/saidseen: $(VENV)/.can-run pyproject.toml
	$(PIP) install --no-deps --editable .
	touch $@

$(VENV)/.can-test: $(VENV)/.can-run tests/requirements.lock
	$(INSTALL) -r tests/requirements.lock
	touch $@

# The tests hear real speech, which the source package of a speech library carries.
$(VENV)/.can-listen: $(VENV)/.can-run tests/speech.lock
	$(PIP) download --require-hashes --no-deps --no-binary pocketsphinx -r tests/speech.lock -d $(VENV)/speech
	touch $@

# After a change of the dependencies in pyproject.toml.
lock: $(VENV)/.can-test
	$(PIP) install uv
	$(COMPILE) pyproject.toml -o requirements.lock
	$(COMPILE) --extra test -c requirements.lock pyproject.toml -o tests/requirements.lock

clean:
	rm -rf $(VENV) demo-book build dist
