"""The commands as a person meets them: exit status, streams, no traceback, no heavy imports at the door."""

from __future__ import annotations

import json
import subprocess
import sys
from importlib import resources

import pytest
from jsonschema import Draft202012Validator

from advisor.show.screen import screen

WARM = """
piece: {animal: beef, cut: flank steak, form: steak, weight: 900 g, thickness: 25 mm, arrived: intact}
guests: {setting: work, vulnerable: "no", latex: "no"}
steps:
  - {do: marinate, place: counter, at: 21 C, for: overnight, with: [{what: soy sauce, amount: 40 g}]}
  - {do: dry}
  - {do: pan, for: 3 min}
  - {do: serve}
"""


def run(*words: str, stdin: str | bytes = "", env: dict | None = None) -> subprocess.CompletedProcess:
    import os

    data = stdin if isinstance(stdin, bytes) else stdin.encode()
    return subprocess.run(
        [sys.executable, "-m", "advisor", *words],
        input=data,
        capture_output=True,
        check=False,
        env={**os.environ, **(env or {})},
    )


def test_help_loads_nothing_heavy():
    code = (
        "import sys\nsys.argv=['advisor','--help']\nfrom advisor.__main__ import main\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "heavy = 'pint numpy scipy prompt_toolkit rich pydantic durable ruamel.yaml rapidfuzz'.split()\n"
        "print([m for m in heavy if m in sys.modules], file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stderr.strip() == "[]"
    assert "advisor ask" in done.stdout


def test_demo_goes_and_says_so_first():
    done = run("demo")
    text = done.stdout.decode()
    assert done.returncode == 0
    assert text.startswith("GO.")
    assert "Sat 19:00" in text
    assert "Food law is local" in text
    assert "What we assumed" in text
    assert "Sources" in text


def test_each_demo_step_has_its_reason_and_its_caution_before_it():
    text = run("demo").stdout.decode()
    assert text.index("Used marinade is raw meat juice") < text.index("Marinate it with")
    assert "[practice.bath]" in text


def test_how_walks_to_facts_and_sources():
    done = run("demo", "--how", "5")
    text = done.stdout.decode()
    assert "practice.bath" in text
    assert "source:" in text
    assert "step5.core_end" in text


def test_check_stops_the_warm_marinade_and_offers_the_fridge():
    done = run("check", "-", stdin=WARM)
    text = done.stdout.decode()
    assert done.returncode == 20
    assert text.startswith("STOP.")
    assert "Smallest change:" in text
    assert "the fridge" in text


def test_json_meets_its_schema_and_the_page():
    done = run("check", "-", "--json", stdin=WARM)
    result = json.loads(done.stdout)
    schema = json.loads(resources.files("advisor.show").joinpath("result.schema.json").read_text(encoding="utf-8"))
    Draft202012Validator(schema).validate(result)
    assert result["verdict"] == "stop"
    assert {"hold.warm_raw_long"} <= {finding["rule"] for finding in result["findings"]}
    assert all(mend["verdict_after"] == "go" for mend in result["mends"])


def test_the_plan_schema_accepts_the_demo():
    from advisor.knowledge.yamltext import read_plain

    schema = json.loads(run("schema", "plan").stdout)
    Draft202012Validator.check_schema(schema)
    Draft202012Validator(schema).validate(read_plain(run("demo", "--file").stdout.decode()))


@pytest.mark.parametrize(
    ("words", "stdin", "status", "says"),
    [
        (["check", "no-such-file.yaml"], "", 3, "no-such-file.yaml"),
        (["check", "-"], "", 3, "empty"),
        (["check", "-"], b"\xff\xfe\x00\x01binary", 3, "not a text file"),
        (["check", "-"], "piece: {animal: beef, thickness: 4 m}\nsteps: [{do: serve}]\n", 3, "line 1"),
        (["check", "-"], "piece: {anmial: beef}\nsteps: [{do: serve}]\n", 3, "animal"),
        (["check", "-"], "steps:\n  - {do: bath, at: 57, for: 2 h}\n", 3, "57"),
        (["check", "-"], "a: &x [1]\nb: *x\n", 3, "alias"),
        (["check"], "", 2, "FILE"),
        (["fry"], "", 2, "fry"),
        (["rule", "zzzzqq"], "", 3, "No rule"),
    ],
)
def test_bad_input_gets_a_sentence_and_its_own_status(words, stdin, status, says):
    done = run(*words, stdin=stdin)
    err = done.stderr.decode()
    assert done.returncode == status, err
    assert says in err
    assert "Traceback" not in err


def test_a_huge_file_is_refused(tmp_path):
    path = tmp_path / "huge.yaml"
    path.write_text("x: 1\n" * 400_000, encoding="utf-8")
    done = run("check", str(path))
    assert done.returncode == 3
    assert "characters" in done.stderr.decode()


def test_no_colour_and_eighty_columns_when_piped():
    text = run("demo", env={"NO_COLOR": "1", "TERM": "dumb"}).stdout.decode()
    assert "\x1b" not in text
    assert max(len(line.rstrip()) for line in text.splitlines()) <= 80


def test_rules_can_be_looked_up():
    done = run("rule", "hold.warm_raw")
    assert done.returncode == 0
    assert b"raw_out_max" in done.stdout


def test_a_terminal_that_can_do_nothing_is_as_wide_as_it_says(monkeypatch):
    monkeypatch.setenv("TERM", "dumb")
    monkeypatch.setenv("FORCE_COLOR", "1")  # as if it were a terminal
    monkeypatch.setenv("COLUMNS", "40")
    assert screen().width == 40
