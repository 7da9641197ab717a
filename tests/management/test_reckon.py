"""``manage.py reckon``: an answer on standard output, or exit 2 with one line on standard error."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent.parent


def run(rule, given):
    """The command as people run it, with a database address that nothing answers at."""
    return subprocess.run(  # noqa: S603 - our own interpreter and our own text
        [sys.executable, "manage.py", "reckon", *rule.split()],
        cwd=ROOT,
        input=given if isinstance(given, bytes) else json.dumps(given).encode(),
        capture_output=True,
        check=False,
        env=os.environ | {"DATABASE_URL": "postgres://nobody@127.0.0.1:9/nothing", "PYTHONWARNINGS": "error"},
    )


def test_reckon_answers_without_database():
    done = run("timecode", {"rate": "30000/1001", "drop": True, "timecode": "00:10:00;00"})
    assert (done.returncode, done.stderr) == (0, b"")
    assert json.loads(done.stdout) == {"frames": 17982, "timecode": "00:10:00;00", "seconds": "2999997/5000"}


def test_reckon_writes_text_as_it_is():
    parties = [{"name": "Ólafur 作曲", "role": "CA", "share": "100"}]
    done = run("shares", {"convention": "100", "parties": parties})
    assert "Ólafur 作曲" in done.stdout.decode()


@pytest.mark.parametrize(
    ("rule", "given", "line"),
    [
        ("territory", {"expression": "Atlantis"}, "expression: There is no territory “atlantis”. "),
        ("territory", {"expression": "a\nb\x1b[2J"}, "expression: There is no territory “a b ? [ 2j”. "),
        ("weather", {}, "rule: There is no such rule. Use one of timecode, duration, "),
        ("duration", b"{", "line 1, column 2: This is not JSON. "),
        ("duration", b"[" * 100_000, "input: The input is nested too deeply. "),
        ("duration", b'{"rate": NaN}', "input: NaN is not a number. "),
        ("duration", b"", "line 1, column 1: This is not JSON. "),
        ("coverage", {"plan": [5]}, "plan[0]: This is not an object with fields. "),
    ],
)
def test_reckon_refuses_in_one_line(rule, given, line):
    done = run(rule, given)
    assert (done.returncode, done.stdout) == (2, b"")
    words = done.stderr.decode()
    assert words.startswith(line)
    assert words.count("\n") == 1
    assert words.rstrip("\n").isprintable()


def test_reckon_without_rule_exits_2():
    done = run("", {})
    assert done.returncode == 2
    assert b"Traceback" not in done.stderr


def test_reckon_adds_workings_when_asked():
    done = run("territory --workings", {"expression": "DE"})
    assert json.loads(done.stdout) == {
        "countries": ["DE"],
        "display": "DE",
        "workings": ["It means Germany: 1 country today."],
    }
