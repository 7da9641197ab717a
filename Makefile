# One word for each thing a person does here; the longer steps are scripts in .ci/.
SHELL := /bin/sh
HOST ?= 127.0.0.1
PORT ?= 8000
ARGS ?=
bin := .venv/bin
export HOST PORT

.PHONY: run test check format coverage bench screenshots translations lock
.NOTPARALLEL:

run: ## set up what is missing, load the demo and serve it
	@.ci/system-packages python paper || echo "Going on without them."
	@.ci/environment
	@exec .ci/serve

test: ## the whole suite, browser tests included; ARGS="tests/rules -k money" narrows it
	@.ci/system-packages python paper browser calc
	@.ci/environment
	$(bin)/python -m pytest $(ARGS)

check: ## everything that can be judged without running the tests
	@.ci/environment
	$(bin)/ruff check
	$(bin)/ruff format --check
	$(bin)/mypy
	$(bin)/lint-imports
	find templates -name '*.html' -exec $(bin)/djade --check --target-version 5.2 {} +
	$(bin)/python manage.py makemigrations --check --dry-run
	LEDGER_LINE_HTTPS=1 $(bin)/python manage.py check --deploy --fail-level WARNING
	$(bin)/python manage.py spectacular --validate --fail-on-warn --file /dev/null

format: ## rewrite code and templates as `check` wants them
	@.ci/environment
	$(bin)/ruff check --fix
	$(bin)/ruff format
	find templates -name '*.html' -exec $(bin)/djade --target-version 5.2 {} + || true # 1 says that it rewrote some

coverage: ## the suite again, showing the branches that no test takes; rules, formats and actions must have none
	@.ci/environment
	$(bin)/python -m pytest --cov --cov-report=term $(ARGS)
	$(bin)/coverage report --fail-under=100 \
		--include='supervision/rules/*,supervision/interchange/*,supervision/actions/*'

bench: ## times of pages and paper beside bare SQL and bare HTML
	@.ci/environment
	$(bin)/python manage.py bench $(ARGS)

screenshots: ## pictures of the screens, left in var/pictures; the README's go into fixtures/pictures
	@.ci/system-packages python paper browser
	@.ci/environment
	CI_ARTEFACTS=var $(bin)/python -m pytest tests/journeys $(ARGS)
	mkdir -p fixtures/pictures
	for name in log recut board; do cp var/pictures/readme-$$name.png fixtures/pictures/$$name.png; done

translations: ## collect the texts of pages and rules into supervision/locale/*/LC_MESSAGES/django.po, and tell what lacks
	@.ci/environment
	$(bin)/python manage.py translations

# Extras stay in the lock: pip looks for coverage[toml] by itself, finds one newer than the lock's, and refuses all.
lock: ## resolve pyproject.toml anew for every Python and platform, with hashes and without addresses
	@.ci/environment
	$(bin)/uv pip compile pyproject.toml --group dev --universal --python-version 3.11 --generate-hashes \
		--no-strip-extras --no-emit-index-url --no-emit-find-links --no-header --upgrade --quiet --output-file requirements.lock
