"""Odds in tables and charts, on a terminal and as JSON; nothing is flown here."""

from __future__ import annotations

import io
import json
from dataclasses import replace

import pytest
from jsonschema import Draft202012Validator

from mplan import cli
from mplan.show import odds as shown
from mplan.show.odds import words
from mplan.show.odds.document import schema
from mplan.show.terminal import print_odds
from mplan.studies.odds import (
    BurnOdds,
    Driven,
    Driver,
    LimitOdds,
    Odds,
    Probability,
    ScatteredFigure,
    TankNeed,
)
from tests.conftest import DEMO, MISSIONS

BURN = "trans-Earth injection"
LEFT = f"left after {BURN} [m/s]"
NAN = float("nan")


def figure(name: str, planned: float, least: float) -> ScatteredFigure:
    return ScatteredFigure(name, planned, (least, planned - 3.0, planned + 9.0), 8.0)


@pytest.fixture
def odds() -> Odds:
    burn = figure(LEFT, 20.0, -4.5)
    energy = figure("left of energy, ascent stage and below [kWh]", 30.0, 2.0)
    far = ScatteredFigure("left of starts, main of ascent stage", 9.0, (9.0, 9.0, 9.0), 0.0)
    nothing = ScatteredFigure("left of NTO [kg]", 3.0, (NAN,) * 3, NAN)
    chances = Probability(285, 300), Probability(200, 300)
    drivers = (Driver("specific impulse of service module", 0.6), Driver("dry mass", -0.3))
    return Odds(
        mission="A mission",
        scenario="0123456789ab",
        seed=7,
        asked=400,
        flown=300,
        holds=Probability(280, 300),
        untouched=Probability(200, 300),
        burns=(BurnOdds(BURN, burn, 12.0, *chances),),
        limits=(LimitOdds(energy, Probability(300, 300)), LimitOdds(far, Probability(300, 300))),
        tanks=(
            TankNeed("service module", "MMH", 900.0, figure("left of MMH [kg]", 30.0, -5.0), -6.5),
            TankNeed("ascent stage", "NTO", 500.0, nothing, None),
        ),
        figures=(figure("greatest dynamic pressure [kPa]", 34.0, 31.0),),
        ended={"flown": 298, "ends at upper-stage climb": 2},
        stops={"delta-v, trans-Earth injection": 15, "power, ascent stage": 3},
        standing=(),
        driven=(Driven(LEFT, drivers, 0.45),),
        drawn=("specific impulse of service module", "dry mass"),
    )


def test_the_verdict_says_how_far_it_can_be_trusted(odds):
    said = repr(shown.verdict(odds))
    assert "93.3 % (89.9 to 95.9) of 300 missions" in said
    assert "stopped before 400 were flown" in said


def test_shares_near_to_all_keep_a_digit_more():
    assert words.percent(0.9967) == "99.67"
    assert words.percent(0.5) == "50.0"


def test_tables(odds):
    burns = shown.burns(odds).frame.iloc[0]
    assert burns["has its propellant [%]"] == 95.0
    assert burns["reserve not used [%]"] == 66.67
    limits = shown.limits(odds).frame
    assert list(limits["limit of"]) == ["energy, ascent stage and below"]  # what is far is left out
    why = shown.why_not(odds).frame.set_index("what stops")
    assert why["missions"]["ends at upper-stage climb"] == 2
    tanks = shown.tanks(odds).frame.set_index("tank")
    assert tanks["to carry for 99 % [kg]"]["MMH"] == 906.0  # 900 kg and what lacks, 6.5
    assert tanks["to carry for 99 % [kg]"].isna()["NTO"]
    driven = shown.driven(odds).frame
    assert list(driven["share of the variance [%]"]) == [36.0, 9.0]
    assert driven["linear"][0].startswith("no")


def test_what_stops_the_plan_itself_stops_every_mission(odds):
    from dataclasses import replace

    standing = replace(odds, standing=("too tall for the door",), holds=Probability(0, 300))
    why = shown.why_not(standing).frame.set_index("what stops")
    assert why["missions"]["in the plan already: too tall for the door"] == 300
    assert "none holds whatever is drawn: too tall" in repr(shown.verdict(standing))


def test_probability_bars(odds):
    picture = shown.probabilities(odds)
    bars, beside = picture.data
    assert list(bars.x) == [93.33, 66.67, 95.0, 100.0]
    assert bars.error_x.arrayminus[0] == pytest.approx(3.43, abs=0.05)
    assert "93.3 % (89.9 to 95.9)" in beside.text[0]
    assert "93.3 %" in picture.summary


def test_driver_bars(odds):
    picture = shown.drivers(odds)
    assert list(picture.data[0].x) == [0.6, -0.3]
    marks = picture.layout.xaxis.ticktext
    assert len(set(marks)) == len(marks)
    assert "R2 0.45" in picture.summary
    assert "does not follow in proportion" in picture.summary
    with pytest.raises(ValueError, match="no figure 'x'; there are: left after trans-Earth"):
        shown.drivers(odds, "x")


def test_no_driver_is_said(odds):
    """Too few missions: a sentence, and no empty chart."""
    said = shown.drivers(replace(odds, driven=()))
    assert said.text.startswith("What drives the odds is not told: too few missions")


def test_terminal(odds):
    """Nothing wider than 100 columns; limits of the method beside the figures."""
    out = io.StringIO()
    print_odds(odds, out)
    text = out.getvalue()
    assert max(map(len, text.splitlines())) <= 100
    assert "0.45 not linear" in text
    assert "Clopper and Pearson" in text
    assert "order statistics" in text
    assert "not flight approval" in text


def test_document_follows_its_schema(odds):
    Draft202012Validator.check_schema(schema())
    document = json.loads(json.dumps(shown.document(odds), allow_nan=False))
    Draft202012Validator(schema()).validate(document)
    assert document["tanks"][1]["left"]["quantiles"][0]["value"] is None
    assert document["holds"] == pytest.approx(
        {"missions": 280, "of": 300, "share": 0.9333, "from": 0.8990, "to": 0.9588}, abs=1e-4
    )


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--missions", "0"], "--missions: found 0; accepted: from 1 to 200,000"),
        (["--missions", "1000000000"], "--missions: found 1,000,000,000; accepted"),
        (["--workers", "0"], "--workers: found 0; accepted: at least 1"),
        (["--workers", "2", "--scheduler", "tcp://x:1"], "--workers: does not go with --scheduler"),
        (["--seed", "-1"], "--seed: found -1; accepted: zero or more"),
        (["--with", "dispersions.dry_mass=-1 %"], "dispersions.dry_mass: found"),
    ],
)
def test_bad_input(capsys, arguments, said):
    assert cli.main(["odds", str(DEMO), *arguments]) == 2
    assert said in capsys.readouterr().err


def test_command(capsys, tmp_path):
    """Without the table it is refused; with it the missions are counted and kept."""
    mission = str(MISSIONS / "round_the_moon.toml")
    assert cli.main(["odds", mission, "--missions", "3"]) == 2
    assert "dispersions: missing; write the table" in capsys.readouterr().err
    few = ["--missions", "3", "--workers", "1", "--to", str(tmp_path), "--json", "-"]
    code = cli.main(["odds", mission, "--with", "dispersions.isp=0.2 %", *few])
    document = json.loads(capsys.readouterr().out)
    Draft202012Validator(schema()).validate(document)
    assert code in (0, 1)
    assert document["missions_flown"] == 3
    assert len(list(tmp_path.glob("*.parquet"))) == 1
