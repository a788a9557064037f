"""What a verdict hangs on that nobody said: enough to bring the plan to go, each of it needed, none of it promised."""

import json
import re
from datetime import datetime

import pytest
from click.testing import CliRunner

from advisor.advice.report import examine
from advisor.advice.unsaid import hangs_on
from advisor.case.words.reader import read_words
from advisor.cli import cli

NOW = datetime(2026, 11, 25, 12)  # noqa: DTZ001 - a kitchen's clock
CHUCK = "beef chuck roll 60 mm, salt 1 % 1 day in the fridge, bag, bath 58 C 24 h, dry, sear 1 min a side"


def judged(words, rulebase):
    return examine(read_words(words, rulebase, NOW), rulebase)


def test_what_would_be_enough_is_named_can_be_written_as_told_and_is_needed(rulebase):
    report = judged(CHUCK, rulebase)
    told = hangs_on(report, rulebase)
    written = [re.search(r"write '(.*)'", words).group(1) for words in told]
    assert report.verdict == "change"
    assert written == ["arrived: intact", "stirred bath"]
    said = CHUCK.replace("bath 58 C", "stirred bath 58 C")
    assert judged(f"{said}, arrived: intact", rulebase).verdict == "go"
    assert judged(said, rulebase).verdict == "change"
    assert judged(f"{CHUCK}, arrived: intact", rulebase).verdict == "change"


@pytest.mark.parametrize(
    "words",
    [
        "beef chuck roll 60 mm, salt 1 % 1 day in the fridge, bag, bath 50 C 24 h, dry, sear 1 min a side",
        f"{CHUCK}, arrived: pierced",
        "beef chuck roll 60 mm, bath 58 C, dry, sear 1 min a side",
        "chuck roll 60 mm, untouched, boneless, salt 1 %, braise 95 C until the middle reads 92 C",
    ],
)
def test_nothing_is_named_where_it_would_not_be_enough_or_nothing_is_wrong_or_all_was_said(words, rulebase):
    assert hangs_on(judged(words, rulebase), rulebase) == ()


def test_the_page_and_the_record_tell_it_and_the_verdict_stays():
    page = CliRunner().invoke(cli, ["check", CHUCK])
    record = json.loads(CliRunner().invoke(cli, ["check", CHUCK, "--json"]).stdout)
    assert "It may need no change." in page.stdout
    assert page.stdout.index("It may need no change.") < page.stdout.index("Smallest change:")
    assert page.exit_code == 10
    assert record["verdict"] == "change"
    assert len(record["if_true"]) == 2


def test_a_fridge_that_nobody_read_may_be_as_cold_as_the_code_asks(rulebase):
    plan = (
        "chuck roll 2 kg, 60 mm, untouched, boneless, salt 1% 1 day in the fridge, "
        "braise 95C until the middle reads 92C, at home, vulnerable: no"
    )
    home = rulebase.under("us_home")
    report = judged(plan, home)
    assert report.verdict == "stop"
    (told,) = hangs_on(report, home)
    assert "write 'at 4 °C'" in told
    assert judged(plan.replace("in the fridge", "in the fridge at 4 °C"), home).verdict == "go"
