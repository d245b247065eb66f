"""The scanner finds the line of every key that the standard reader finds."""

import sys
from pathlib import Path

import pytest

from mplan.scenario.reading.lines import scan

if sys.version_info >= (3, 11):
    import tomllib
else:
    import tomli as tomllib

TRICKY = '''\
# [not.a.table]
format = "x # no comment"
stack = [  # a list
  "first",   # one = two
  "second ] [",
]
"quoted key" = 1
text = """
[not.a.table]
key = "no key" \\""" still text
"""
literal = \'\'\'
[neither]\'\'\'

[a.b]
c.d = 1
inline = { x = 1, y = [1, 2] }
[a]
after = true

[[events]]
do = "one"
  [events.detail]
  deep = 1
[[events]]
do = "two"
nested = [
  [1,
   2],
  [3],
]
[ spaced . "out" ]
key=1
'''

LINES = {
    ("format",): 2,
    ("stack",): 3,
    ("stack", 0): 4,
    ("stack", 1): 5,
    ("quoted key",): 7,
    ("text",): 8,
    ("literal",): 12,
    ("a", "b"): 15,
    ("a", "b", "c", "d"): 16,
    ("a", "b", "inline"): 17,
    ("a",): 18,
    ("a", "after"): 19,
    ("events",): 21,
    ("events", 0, "do"): 22,
    ("events", 0, "detail"): 23,
    ("events", 0, "detail", "deep"): 24,
    ("events", 1): 25,
    ("events", 1, "do"): 26,
    ("events", 1, "nested"): 27,
    ("events", 1, "nested", 0): 28,
    ("events", 1, "nested", 1): 30,
    ("spaced", "out"): 32,
    ("spaced", "out", "key"): 33,
}


def test_sample_is_valid_toml():
    assert tomllib.loads(TRICKY)["events"][1]["do"] == "two"


@pytest.mark.parametrize(("path", "line"), LINES.items())
def test_line_of_each_key(path, line):
    assert scan(TRICKY).first[path] == line


def test_a_key_inside_a_value_has_the_line_of_the_value():
    assert scan(TRICKY).of(("a", "b", "inline", "y", 1)) == 17


def test_last_line_of_the_keys_of_a_table():
    last = scan(TRICKY).last
    assert {path: last[path] for path in [(), ("a", "b"), ("a",), ("events", 1)]} == {
        (): 13,
        ("a", "b"): 17,
        ("a",): 19,
        ("events", 1): 31,
    }


def test_no_duplicates_in_valid_toml():
    assert scan(TRICKY).duplicates == []


def test_finds_duplicates():
    text = "[a]\nx = 1\n[b]\n[a]\nx.y = 1\n[b]\n"
    assert scan(text).duplicates == [(("a",), 1, 4), (("b",), 3, 6)]


def _leaves(value, path=()):
    if isinstance(value, dict):
        for key, each in value.items():
            yield from _leaves(each, (*path, key))
    elif isinstance(value, list):
        for index, each in enumerate(value):
            yield from _leaves(each, (*path, index))
    else:
        yield path, value


@pytest.mark.parametrize("name", ["landing", "orbit", "flyby", "elements/descent"])
def test_each_value_stands_on_its_line(name):
    text = (Path(__file__).parent / "data" / f"{name}.toml").read_text(encoding="utf-8")
    lines, found = text.split("\n"), scan(text)
    for path, value in _leaves(tomllib.loads(text)):
        line = lines[found.of(path) - 1]
        written = str(value).lower() if isinstance(value, bool) else str(value)
        assert written in line or hasattr(value, "isoformat")
