"""The plain layers stay plain: rules and formats can be used where Django is not installed."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent

IMPORT_ALL = """
import importlib, pkgutil, sys
package = importlib.import_module(sys.argv[1])
found = list(pkgutil.walk_packages(package.__path__, package.__name__ + "."))
names = [each.name for each in found]
for name in names:
    importlib.import_module(name)
print(sum(not each.ispkg for each in found))
print(*sorted({name.partition(".")[0] for name in sys.modules} & {"django", "rest_framework"}))
"""


@pytest.mark.parametrize("package", ["rules", "interchange"])
def test_import_of_plain_layer_brings_no_django(package):
    run = subprocess.run(  # noqa: S603 - our own interpreter and our own text
        [sys.executable, "-c", IMPORT_ALL, f"supervision.{package}"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stderr
    modules, frameworks = run.stdout.split("\n")[:2]
    assert int(modules) == len(list((ROOT / "supervision" / package).rglob("[!_]*.py")))
    assert frameworks == ""


def test_pages_start_without_the_document_renderer():
    """Its libraries may be missing from the machine, and it takes most of a second and 30 MB."""
    code = "import django; django.setup(); import supervision.urls, sys; print('weasyprint' in sys.modules)"
    run = subprocess.run(  # noqa: S603 - our own interpreter and our own text
        [sys.executable, "-c", code],
        cwd=ROOT,
        env=os.environ | {"DJANGO_SETTINGS_MODULE": "supervision.settings"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stderr
    assert run.stdout == "False\n"
