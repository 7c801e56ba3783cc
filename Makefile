# The two commands are `make site` and `make test`. On Windows, or without
# make, README.md has the same steps as plain pip commands.

PYTHON ?= python3
BIN = .venv/bin
READY = .venv/.ready
# Compiled files are kept whatever the environment says: every process of a test run would compile everything anew.
unexport PYTHONDONTWRITEBYTECODE
NODE = tests/node_modules/.ready

.PHONY: site serve test quick lint house bench mutants fuzz sweep greedy look clean

site: $(READY)
	$(BIN)/mkdocs build --strict

serve: $(READY)
	$(BIN)/mkdocs serve

test: $(READY) $(if $(shell command -v npm),$(NODE))
	$(BIN)/python -m pytest -n 2

# What a change breaks most often, in under a minute of processor time. One process, since a second one would read
# everything once more.
QUICK = tests/house tests/units tests/locale tests/findings tests/language tests/paper tests/geometry \
	tests/folding/test_polyhedra.py tests/tutorial/test_soap_pyramid.py tests/tutorial/test_wedge_ring.py
quick: $(READY)
	$(BIN)/python -m pytest -q -m "not slow" $(QUICK)

# Style, complexity and docstrings of everything, and the types of the generator; pyproject.toml says what is asked.
lint: $(READY)
	$(BIN)/ruff check generator tests
	$(BIN)/mypy

# The figures of the house: files, lines, names that stand twice, types that do not hold.
house: $(READY)
	$(BIN)/python -m tests.house.figures

LIMITED = $(shell grep -rl 'tests.time_limits' tests --include='test_*.py')

# Sizes of the shelves that are measured: `make bench SIZES="12 48 200"` takes an hour.
SIZES = 12 48
# Speed, the limits on time that no test of `make test` may depend on, and all of what `make test` samples.
bench: $(READY)
	$(BIN)/python tests/bench/bench.py
	$(BIN)/python tests/bench/command_times.py; first=$$?; \
		$(BIN)/python tests/bench/shelves.py $(SIZES) && exit $$first
	FOLDGAUGE_LIMITS=1 $(BIN)/python -m pytest -q $(LIMITED)

# What share of faults put into a room its tests find: a sample, drawn with the same seed each time.
MUTANTS = 60
SEED = 1
mutants: $(READY)
	$(BIN)/python tests/bench/mutants.py --count $(MUTANTS) --seed $(SEED) folding
	$(BIN)/python tests/bench/mutants.py --count $(MUTANTS) --seed $(SEED) sheets

# Damaged sources sent the whole way; those that end in an unforeseen error are kept. `make fuzz N=100000 SEED=2`,
# `make fuzz WAY=both` for those alone that check and a strict build have to judge alike.
N = 1000
WAY =
fuzz: $(READY)
	PYTHONPATH=. $(BIN)/python tests/bench/fuzz.py --count $(N) --seed $(SEED) --only "$(WAY)"

# Every length and count of every tutorial and family moved: all of it takes a night, `make sweep MOVED=500` a sample.
MOVED = 0
sweep: $(READY)
	PYTHONPATH=. $(BIN)/python tests/bench/sweep.py --count $(MOVED)

# What sources cost that ask for far too much, each by itself: time and memory.
greedy: $(READY)
	PYTHONPATH=. $(BIN)/python tests/bench/greedy.py

# All pages and prints as pictures, for whoever changes how they look: look/*.png. `make look ONLY="tea-caddy de/"`
look: $(READY)
	$(BIN)/python -m tests.site.look $(ONLY)

clean:
	rm -rf .venv site look build dist .foldgauge foldgauge.egg-info tests/node_modules
	rm -rf .pytest_cache .hypothesis
	find generator tests -name __pycache__ -type d -prune -exec rm -rf {} +

# The environment is made anew whenever what it is made from changes.
$(READY): pyproject.toml constraints.txt
	$(PYTHON) -m venv .venv
	$(BIN)/pip install -q --disable-pip-version-check -c constraints.txt -e '.[test]'
	@touch $@

# The page checkers come from npm; their tests skip, visibly, where npm is not there.
$(NODE): tests/package.json tests/package-lock.json
	cd tests && npm ci --no-audit --no-fund --loglevel=error
	@touch $@
