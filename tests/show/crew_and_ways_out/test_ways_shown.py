"""Ways out in words, tables and pictures, on a terminal and as JSON; nothing is flown here."""

from __future__ import annotations

import io
import json
from dataclasses import replace

import pytest
from jsonschema import Draft202012Validator

from mplan.contingencies.ways_out.coverage import NOT_FLOWN, WaysCoverage
from mplan.physics.constants import HOUR
from mplan.show import crew_and_ways_out as shown
from mplan.show.crew_and_ways_out import band_bars, words
from mplan.show.crew_and_ways_out.document import schema
from mplan.show.drawn import dark
from mplan.show.terminal import print_ways, print_ways_at
from tests.show.test_charts import contrast

LACKS = "nearest way lacks [m/s]"
UNFLOWN = {"kind": "not examined", "reason": NOT_FLOWN}
LINE = (
    "Ways out: no way out of crew module with the main engine lost or one engine lost from 75:41 "
    "to 76:02; 1 more gap; 154.0 h not examined"
)


def test_the_line_has_the_worst_gap(found):
    """With from and to, how many more gaps, and how much was not examined."""
    assert shown.line(found) == LINE
    one = replace(found, gaps=found.gaps[1:])
    assert "of ascent stage with the mission called off from 100:00:00 to 100:00:48" in str(
        shown.line(one)
    )


def test_no_gap_is_claimed_only_where_something_was_examined(found):
    clear = replace(found, gaps=())
    assert shown.line(clear).startswith("Ways out: a way out of every stretch that was examined")
    unknown = [band for band in found.bands if len(band.spans) == 3]
    bare = [band._replace(spans=band.spans[2:]) for band in unknown]
    assert shown.line(WaysCoverage(tuple(bare), (), 0)).startswith(
        "Ways out: nothing was examined; 154.0 h not examined"
    )
    assert shown.line(replace(clear, stopped=True)).endswith("stopped before all was flown")


def test_what_is_not_flown_yet_is_no_clear_mission(found):
    """While it is flown, or stopped, the table of gaps does not speak for the rest."""
    clear = replace(found, gaps=())
    assert "a way out of every stretch that was examined" in shown.gaps(clear).text
    band = clear.bands[0]
    part = band._replace(spans=(band.spans[0], band.spans[-1]._replace(**UNFLOWN)))
    assert "so far" in shown.gaps(replace(clear, bands=(part, *clear.bands[1:]))).text


def test_changes_against_no_gap_say_what_was_looked_at(landing_plan, found):
    """Stopped before a gap was found, nothing passes for checked."""
    study = shown.mended(landing_plan, 1)
    nothing = replace(found, gaps=(), stopped=True)
    picture, _, told = study.shown((nothing, ()))
    assert repr(picture) == told == shown.line(nothing)
    assert told.endswith("stopped before all was flown")
    clear = study.shown((replace(found, gaps=()), ()))
    assert "a way out of every stretch that was examined" in repr(clear[0])


def test_tables(found):
    gaps = shown.gaps(found).frame
    assert gaps["from [h:min:s]"].tolist() == ["75:41:00", "100:00:00"]
    assert gaps["length"].tolist() == ["21 min", "48 s"]
    assert gaps["nearest way lacks [m/s]"].iloc[0] == 60.0
    spans = shown.spans(found).frame
    assert spans["way home"].tolist() == ["open", "none", "not examined", "open", "none"]
    assert len(spans) == 3 + 1 + 1  # failures that leave the same at all times share their rows


def test_a_span_is_a_row_that_reads_at_once(found):
    """The usual way and how many others; the least margin with its way and time, where one is."""
    spans = shown.spans(found).frame
    assert spans["usual way home, or why none"].tolist() == [
        "flyby (1 other)",
        "return with thrusters: lacks 60 m/s",
        "the stretch is not examined",
        "direct return",
        "nothing leads home",
    ]
    assert spans["least margin [m/s]"].fillna(-1.0).tolist() == [112.0, -1.0, -1.0, 112.0, -1.0]
    told = "direct return, 75:00:00"
    assert spans["of which way, when [h:min:s]"].tolist() == [told, "", "", told, ""]


def test_an_estimate_is_marked_beside_its_margin(found, home):
    """A way with a figure that is not flown says so where its margin stands."""
    rough = replace(home, estimate="a table")
    band = found.bands[0]
    bands = (band._replace(spans=(band.spans[0]._replace(tightest=rough),)), *found.bands[1:])
    spans = shown.spans(replace(found, bands=bands)).frame
    assert "direct return (estimate), 75:00:00" in set(spans["of which way, when [h:min:s]"])
    page = io.StringIO()
    print_ways(replace(found, bands=bands), page)
    assert "(estimate)" in page.getvalue()


def test_what_is_lacked_is_of_the_way_that_is_told(found):
    """A gap whose reason is another way's has no figure beside it."""
    other = found.gaps[0]._replace(reason="lift-off: the ascent engine is lost")
    assert shown.gaps(replace(found, gaps=(other,))).frame[LACKS].isna().all()
    assert shown.gaps(found).frame[LACKS].iloc[0] == 60.0


def test_times_of_a_table_have_one_format(found):
    """To the second where one of its spans is shorter than two minutes, else to the minute."""
    assert "to [h:min:s]" in shown.spans(found).frame
    long = replace(found, bands=found.bands[:-1], gaps=found.gaps[:1])
    assert shown.spans(long).frame["to [h:min]"].tolist()[0] == "75:41"
    assert shown.gaps(long).frame["to [h:min]"].tolist() == ["76:02"]


def test_ways_at_one_time(asked):
    text = shown.ways(asked).text
    assert text.startswith(
        "crew module, 3 aboard, 75:00 after lift-off (to the Moon), main engine lost (insertion): "
        "direct return, splash after 65.0 h at 12.5 S 161.2 E, 112 m/s left."
    )
    for part in ("lacks 60 m/s", "oxygen for 2.4 d", "31 % of stored energy", "estimate: a table"):
        assert part in text


def test_what_is_not_examined_is_no_way_out(asked):
    unknown = asked._replace(ways=(), unknown="the stretch 'x' is not examined")
    assert shown.ways(unknown).text.endswith("not examined, the stretch 'x' is not examined.")
    shut = asked._replace(ways=asked.ways[1:])
    assert "no way out (return with thrusters: lacks 60 m/s)." in shown.ways(shut).text


def test_bands_tell_without_colour(found):
    """Each kind has a hatch of its own and a legend; short gaps are marked, long ones worded."""
    drawn = shown.bands(found)
    kinds = {x.name: x.marker.pattern.shape for x in drawn.data if x.type == "bar"}
    assert kinds == {"a way out is open": "", "NO WAY OUT": "\\", "not examined": "/"}
    marks = next(x for x in drawn.data if x.name == "NO WAY OUT, for a short time")
    assert set(marks.y) == {
        "crew module: main engine lost",
        "crew module: one engine lost",
        "ascent stage: called off",
    }
    assert "from 75:41 to 76:02" in drawn.summary
    assert drawn.layout.xaxis.title.text == "since lift-off [h]"


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_words_on_bands_can_be_read(found, theme):
    """On the bar and on its hatch they have the contrast that WCAG 2.1 asks for: 4.5 to 1.

    So too where a dark page dresses what was drawn in light colours.
    """
    band, until = found.bands[0], 150.0 * HOUR
    before, gap, after = band.spans
    spans = before, gap._replace(end=until), after._replace(begin=until)
    made = band_bars.drawing(replace(found, bands=(band._replace(spans=spans),)), theme)
    bars = {each["name"]: each["marker"] for each in made.traces if each["type"] == "bar"}
    (said,) = (x for x in made.traces if x.get("mode") == "text")
    assert said["text"] == ["none 75:41 to 150:00", "not examined"]
    inks = zip(("NO WAY OUT", "not examined"), said["textfont"]["color"], strict=True)
    for name, ink in inks:
        hatch = bars[name]["pattern"]
        for dress in ({}, dark.colours()) if theme == "light" else ({},):
            shown_in = (bars[name]["color"], hatch["fgcolor"], ink)
            bar, lines, letters = (dress.get(colour, colour) for colour in shown_in)
            mixed = over(bar, lines, hatch["fgopacity"])
            assert min(contrast(letters, bar), contrast(letters, mixed)) >= 4.5, (name, dress)


def over(below, above, opacity):
    """The colour of something that is partly clear over something else."""
    parts = [[int(x[i : i + 2], 16) for i in (1, 3, 5)] for x in (below, above)]
    mixed = (round(b + (a - b) * opacity) for b, a in zip(*parts, strict=True))
    return "#" + "".join(f"{x:02X}" for x in mixed)


def test_the_way_home_is_drawn(asked):
    drawn = shown.way_home(asked)
    names = [trace.name for trace in drawn.data]
    assert names.count("on the way out") == 1
    assert "the Moon's path" in names
    assert "direct return" in drawn.summary
    bare = asked._replace(ways=asked.ways[1:])
    assert "no way out is drawn" in shown.way_home(bare).summary


def test_documents_follow_their_schema(found, asked):
    validator = Draft202012Validator(schema())
    flight = asked.point.flight
    for made in (shown.document(flight, found), shown.document(flight, asked=(asked,))):
        validator.validate(json.loads(json.dumps(made)))
    whole = shown.document(flight, found)["coverage"]
    assert whole["gaps"][0]["from_s"] == found.gaps[0].begin
    assert shown.document(flight, asked=(asked,))["asked"][0]["ways"][0]["latitude_deg"] == (
        pytest.approx(-12.5)
    )


def test_on_a_terminal(found, asked):
    """Never over 100 columns; each gap, each span, what failures mean, and the cautions."""
    page = io.StringIO()
    print_ways(found, page)
    print_ways_at((asked,), page)
    lines = page.getvalue().splitlines()
    assert max(map(len, lines)) <= 100
    said = " ".join(" ".join(lines).split())
    assert (
        "- no way out of crew module with the main engine lost or one engine lost from 75:41"
        in (said)
    )
    assert words.MEANT in said
    assert "direct return" in said
    assert "Cautions" in said
