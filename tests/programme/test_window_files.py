"""Launch windows of a file: which of them count, and that the demonstration's are flown ones."""

import json
from datetime import date, datetime
from pathlib import Path

import pytest

import mplan
from mplan.programme import load_programme
from mplan.programme.launching import joined, launchings
from mplan.studies.windows import chances, of_day
from tests.programme.conftest import SMALL

PROGRAMMES = Path(mplan.__file__).parent.parent / "scenarios" / "programmes"


def window(day: str, closes: bool = True, sun: bool | None = True) -> dict[str, object]:
    opens = f"2031-{day}T10:00:00+00:00"
    ends = f"2031-{day}T14:00:00+00:00"
    return {"opens_utc": opens, "closes_utc": ends, "closes": closes, "sun_fits": sun}


def test_windows_count_whose_plans_close_in_the_right_light(written, tmp_path):
    """Of six chances two fall out; two of one day and the day after make one stretch."""
    rows = [window("08-01"), window("08-01"), window("08-02", sun=None), window("09-01")]
    rows += [window("07-01", closes=False), window("07-03", sun=False)]
    text = json.dumps({"format": "mplan-windows/2", "windows": rows})
    (tmp_path / "windows.json").write_text(text)
    source = f'windows_from = "{tmp_path}/windows.json"'
    programme = load_programme(written(SMALL, ('after = ["trial"]', source)))
    today = date(2031, 1, 1)
    days = [tuple((date(2031, m, d) - today).days for m, d in x) for x in DAYS]
    assert launchings(programme)["first"].windows == tuple(days)
    assert len(programme.scenarios["first"].windows) == 4


DAYS = (((8, 1), (8, 2)), ((9, 1), (9, 1)))


def test_stretches_are_joined():
    assert joined([(5, 6), (1, 3), (4, 4), (9, 9), (2, 2)]) == ((1, 6), (9, 9))


@pytest.mark.parametrize("which", [1])
def test_the_windows_of_the_demonstration_are_flown_again(which):
    """One day of the file, flown: each of its windows opens when the file says, to a minute."""
    document = json.loads((PROGRAMMES / "first_landing_windows.json").read_text("utf-8"))
    assert all(x["closes"] and x["sun_fits"] for x in document["windows"])
    days = sorted({x["day"] for x in document["windows"]})
    scenario = mplan.load(PROGRAMMES.parent / "first_landing.toml")
    flown = chances(of_day(scenario, date.fromisoformat(days[which])))
    opened = [x.opens for x in flown if x.plan_closes and x.sun_fits]
    stated = [x["opens_utc"] for x in document["windows"] if x["day"] == days[which]]
    assert len(opened) == len(stated)
    told = sorted(map(datetime.fromisoformat, stated))
    for a, b in zip(sorted(opened), told, strict=True):
        assert abs((a - b).total_seconds()) < 60.0
