# Everything a developer needs; `make demo` and `make test` set themselves up on a bare machine.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
PIP := $(BIN)/python -m pip --disable-pip-version-check
LESSON ?= lighthouse

.PHONY: demo video gallery test check bench docs words lock clean

demo: $(VENV)/.run-ready
	$(BIN)/buildalong publish examples/$(LESSON) --output build/$(LESSON)
	@echo
	@echo "Open build/$(LESSON)/index.html in a browser: it is the finished lesson, and needs no network."

video: $(VENV)/.run-ready
	$(PIP) install -q --require-hashes -r requirements/video.lock

gallery: $(VENV)/.run-ready
	$(BIN)/python -m tools.gallery $(SECTIONS)

# the checks of the text take one core; meanwhile the other compiles what the tests will call; of the workers one
# mostly waits for a browser or a process and another often does at the end, so that four keep two cores busy
test: $(VENV)/.dev-ready
	$(BIN)/ruff check
	$(BIN)/ruff format --check
	$(BIN)/python -m tools.kernels & $(BIN)/mypy && $(BIN)/lint-imports --no-cache; failed=$$?; wait; exit $$failed
	$(BIN)/pytest -n 4 $(PYTEST_FLAGS)

bench: $(VENV)/.dev-ready
	$(BIN)/python -m benchmarks $(SECTIONS)

docs: $(VENV)/.dev-ready
	for tool in tools/*_reference.py; do $(BIN)/python $$tool || exit 1; done

words: $(VENV)/.dev-ready
	$(BIN)/python -m tools.words

lock:
	$(PIP) install -q uv
	for name in run dev; do \
	  $(BIN)/uv pip compile pyproject.toml --group $$(test $$name = run && echo build || echo dev) \
	    --generate-hashes --universal --no-header --no-emit-index-url --no-emit-find-links \
	    -q -o requirements/$$name.lock >/dev/null || exit 1; done
	$(BIN)/uv pip compile pyproject.toml --extra video --constraint requirements/dev.lock \
	    --generate-hashes --universal --no-header --no-emit-index-url --no-emit-find-links \
	    -q -o requirements/video.lock >/dev/null

clean:
	rm -rf build dist .pytest_cache .mypy_cache .ruff_cache .hypothesis

$(VENV)/bin/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' \
	  || { echo "Buildalong needs Python 3.11 or newer; name one with: make PYTHON=python3.12 ..."; exit 1; }
	$(PYTHON) -m venv $(VENV)

$(VENV)/.run-ready: $(VENV)/bin/python requirements/run.lock pyproject.toml
	$(PIP) install -q --require-hashes -r requirements/run.lock
	$(PIP) install -q --no-deps --no-build-isolation --editable .
	@touch $@

$(VENV)/.dev-ready: $(VENV)/.run-ready requirements/dev.lock requirements/video.lock
	$(PIP) install -q --require-hashes -r requirements/dev.lock -r requirements/video.lock
	@touch $@
