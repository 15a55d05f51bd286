"""Core curves, core advice and the flags that come of them."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from converter.heat import material
from converter.heat.conduction import Curve as Path
from converter.heat.doses import minutes_between
from converter.heat.times import Estimate
from converter.model import CoreAdvice, Minutes, Move, Result
from converter.pipeline import convert
from converter.place.cookers import load as load_cooker
from converter.place.core_curve import Chain, Dish, Planned, body_of, predict
from converter.place.curves import Roast, draw, roast
from converter.place.heat_classes import heat_class, slow_limit
from converter.place.safety_table import limits
from converter.read.text import document


def converted(
    line: str, *, of: str, title: str = "Roast", cooker: str = "four-oven", slope: float | None = None
) -> Result:
    text = f"{title}\n\nIngredients\n\n- {of}\n\nMethod\n\n1. {line}\n"
    return convert(document(text, name="mine"), cooker=load_cooker(cooker), slope=slope)


def core(result: Result) -> CoreAdvice:
    found = result.placements[-1].core
    assert found is not None
    return found


def flags(result: Result, *names: str) -> list[str]:
    return [flag.name for flag in result.flags if flag.name in names]


def stay(zone_c: float, low: float, high: float, look: float) -> Move:
    return Move("hot-oven", "hot oven", "middle", Minutes(low, high, look), zone_c=zone_c)


# --- the curve --------------------------------------------------------------------------------------------


def test_the_core_is_done_at_the_expected_time_and_the_band_at_the_look_and_the_latest() -> None:
    one = roast(heat_class("beef-joint"), [stay(215, 65, 90, 50)], core_c=60, oven_c=180, minutes=(90, 90), grams=None)
    assert one is not None
    drawn = draw(one)
    assert drawn is not None
    for path, minute in ((drawn.fast, 50), (drawn.middle, 65), (drawn.slow, 90)):
        assert float(np.interp(minute * 60, path.seconds, path.core_c)) == pytest.approx(60, abs=1.5)
    assert (drawn.fast.core_c >= drawn.middle.core_c - 1e-6).all()
    assert (drawn.middle.core_c >= drawn.slow.core_c - 1e-6).all()
    assert drawn.middle.core_c[0] == pytest.approx(5, abs=0.1)


def test_two_stays_are_one_curve_with_the_core_done_at_the_end_of_both() -> None:
    moves = [stay(225, 25, 25, 20), stay(115, 100, 130, 80)]
    one = roast(heat_class("beef-joint"), moves, core_c=55, oven_c=165, minutes=(110, 110), grams=None)
    assert one is not None
    assert one.expect == 125
    drawn = draw(one)
    assert drawn is not None
    assert float(np.interp(125 * 60, drawn.middle.seconds, drawn.middle.core_c)) == pytest.approx(55, abs=1.5)
    # The core of a thick piece hardly moves while the outside takes colour, and climbs on in the cooler oven.
    assert float(np.interp(10 * 60, drawn.middle.seconds, drawn.middle.core_c)) < 12
    assert all(after >= before - 1e-6 for before, after in pairwise(drawn.middle.core_c))


@pytest.mark.parametrize("core_c", [52.0, 63.0, 74.0])
@pytest.mark.parametrize("grams", [None, 2000.0])
def test_a_band_that_is_hard_to_pace_still_comes_to_the_core(core_c: float, grams: float | None) -> None:
    moves = [stay(225, 25, 25, 20), stay(115, 125, 175, 95)]
    minutes = None if grams else (90.0, 90.0)
    one = roast(heat_class("beef-joint"), moves, core_c=core_c, oven_c=180, minutes=minutes, grams=grams)
    assert one is not None
    drawn = draw(one)
    assert drawn is not None
    for path, minute in ((drawn.fast, one.look), (drawn.middle, one.expect), (drawn.slow, one.latest)):
        assert float(np.interp(minute * 60, path.seconds, path.core_c)) == pytest.approx(core_c, abs=1)


def test_a_recipe_and_a_question_have_the_same_curve() -> None:
    one = Roast("red-meat", 60.0, 180.0, 90.0, None, ((225.0, 25.0), (115.0, 120.0)), 110.0, 145.0, 190.0)
    drawn = draw(one)
    times = Estimate(one.look, one.expect, one.latest, True, ())
    stays = [Planned("hot oven", 225.0, 25.0), Planned("low oven", 115.0)]
    asked = predict(Dish("red-meat", 90.0, 180.0, 60.0), stays, title="beef", times=times)
    assert drawn is not None
    assert asked.curve is not None
    for path, line in (
        (drawn.middle, asked.curve.core_c), (drawn.slow, asked.curve.low_c), (drawn.fast, asked.curve.high_c),
    ):  # fmt: skip
        seconds = 60 * np.array(asked.curve.minutes)
        assert np.interp(seconds, path.seconds, path.core_c) == pytest.approx(np.array(line), abs=0.2)
    assert asked.rise_kelvin == drawn.rise_kelvin
    assert asked.danger_minutes == minutes_between(drawn.slow)


@pytest.mark.parametrize("minutes", [60.0, 130.0, 400.0])
def test_the_pace_found_is_the_one_that_a_search_step_by_step_finds(minutes: float) -> None:
    kind = material("red-meat")
    made = body_of(kind, core_c=60.0, start_c=5.0, minutes=90.0, from_c=180.0)
    assert made is not None
    chain = Chain(*made, 5.0, 60.0, (Planned("", 225.0, 25.0), Planned("", 115.0)))
    paces = np.exp(np.linspace(np.log(0.1), np.log(10.0), 400))
    near = min(paces, key=lambda pace: abs(chain.minutes(float(pace)) - minutes))
    pace, reached = chain.factor(minutes)
    assert reached
    assert pace == pytest.approx(near, rel=0.02)


def test_no_body_comes_of_softness_of_nothing_and_of_an_oven_that_cannot() -> None:
    kind = material("pork")
    assert body_of(kind, core_c=92.0, start_c=5.0, minutes=240.0, from_c=160.0) is None
    assert body_of(kind, core_c=63.0, start_c=5.0) is None
    assert body_of(kind, core_c=63.0, start_c=5.0, minutes=90.0, from_c=64.0) is None


def test_a_heavier_piece_comes_up_later() -> None:
    ends = []
    for grams in (1000.0, 4000.0):
        move = stay(175, 150, 200, 100)
        one = roast(heat_class("beef-joint"), [move], core_c=60, oven_c=None, minutes=None, grams=grams)
        assert one is not None
        found = draw(one)
        assert found is not None
        ends.append(found.rise_minutes)
    assert ends[0] < ends[1]


@pytest.mark.parametrize(
    ("core_c", "minutes", "grams"),
    [(92.0, (240.0, 240.0), None), (60.0, None, None), (60.0, (600.0, 600.0), None)],
)
def test_nothing_is_drawn_of_softness_of_no_size_and_of_half_a_day(
    core_c: float, minutes: tuple[float, float] | None, grams: float | None
) -> None:
    kind = heat_class("pork-joint")
    assert roast(kind, [stay(115, 200, 300, 150)], core_c=core_c, oven_c=160, minutes=minutes, grams=grams) is None


def test_a_zone_that_never_gets_there_has_no_curve() -> None:
    one = roast(
        heat_class("poultry-whole"), [stay(75, 200, 300, 150)], core_c=74, oven_c=180, minutes=(80, 80), grams=None
    )
    assert one is not None
    assert draw(one) is None


def test_a_result_holds_the_curve_of_its_roast() -> None:
    result = converted("Roast the rib of beef at 180°C for 90 minutes.", of="2 kg rib of beef")
    (curve,) = result.curves
    assert curve.target_c == core(result).pull_c
    assert [label for label, _ in curve.stays] == ["moderate oven"]
    assert curve.stays[0][1] == 0
    assert len(curve.minutes) == len(curve.core_c) == len(curve.low_c) == len(curve.high_c) > 20
    minutes = result.placements[-1].moves[-1].minutes
    assert minutes is not None
    assert curve.minutes[-1] == minutes.high
    assert float(np.interp(minutes.low, curve.minutes, curve.core_c)) == pytest.approx(curve.target_c, abs=1.5)


@pytest.mark.parametrize(
    ("line", "of"),
    [
        ("Cover and braise the brisket in the oven at 160°C for 3 hours.", "2 kg brisket"),
        ("Bake at 180°C for 30 minutes.", "200 g flour"),
        ("Steam the chicken in the oven for 20 minutes. Roast at 220°C for 40 minutes.", "1.5 kg chicken"),
    ],
)  # fmt: skip
def test_no_curve_for_a_braise_a_cake_or_what_comes_half_cooked(line: str, of: str) -> None:
    assert converted(line, of=of).curves == ()


@pytest.mark.parametrize("of", ["2 kg leg of lamb", "leg of lamb"])
def test_a_roast_that_starts_hot_is_one_curve_from_the_cold_joint(of: str) -> None:
    line = "Roast the leg of lamb at 220°C for 20 minutes. Reduce the oven to 160°C and roast for 1 hour."
    result = converted(line, of=of)
    (curve,) = result.curves
    (first,), (second,) = (placement.moves for placement in result.placements)
    assert first.minutes is not None
    assert second.minutes is not None
    begun = (first.minutes.low + first.minutes.high) / 2
    assert curve.stays == (("hot oven", 0.0), ("moderate oven", begun))
    assert curve.core_c[0] == pytest.approx(5, abs=0.1)
    assert curve.target_c == core(result).pull_c
    at = begun + second.minutes.low
    assert float(np.interp(at, curve.minutes, curve.core_c)) == pytest.approx(curve.target_c, abs=1.5)
    assert curve.phase == 2


# --- core, rest, safe minimum -----------------------------------------------------------------------------


def test_red_meat_comes_out_some_degrees_early_and_rests() -> None:
    found = core(converted("Roast the rib of beef at 180°C for 90 minutes.", of="2 kg rib of beef"))
    assert not found.named
    assert 1 <= found.core_c - found.pull_c <= 5
    assert found.safe_c == 62.8
    assert "FoodSafety.gov" in found.safe_source
    assert 3 <= found.rest_minutes[0] < found.rest_minutes[1] <= 30


def test_a_core_that_the_recipe_names_is_the_reading_at_which_it_comes_out() -> None:
    result = converted(
        "Roast the rib of beef at 180°C until the internal temperature reaches 52°C.", of="2 kg rib of beef"
    )
    found = core(result)
    assert found.named
    assert found.pull_c == 52
    assert 53 <= found.core_c <= 57
    assert flags(result, "core-below-choice") == ["core-below-choice"], "the caution stays"


@pytest.mark.parametrize(
    ("line", "of", "least", "limit"),
    [
        ("Roast the whole chicken at 200°C for 80 minutes.", "1.8 kg whole chicken", 73.9, "poultry-core"),
        ("Roast the pork loin at 170°C for 90 minutes.", "2 kg pork loin", 62.8, "whole-core"),
        ("Bake the sausages at 200°C for 25 minutes.", "8 pork sausages", 71.1, "mince-core"),
        ("Roast the stuffed pork loin at 170°C for 90 minutes.", "2 kg pork loin", 73.9, "stuffed-core"),
    ],
)
@pytest.mark.parametrize("cooker", ["two-oven", "four-oven"])
def test_no_rise_is_counted_on_where_safety_hangs_on_the_core(
    line: str, of: str, least: float, limit: str, cooker: str
) -> None:
    found = core(converted(line, of=of, cooker=cooker))
    assert found.pull_c == found.core_c >= least
    assert found.safe_c == limits()[limit].value
    assert found.rest_minutes[0] >= 3


@pytest.mark.parametrize(
    ("line", "of"),
    [
        ("Cover and braise the brisket in the oven at 160°C for 3 hours.", "2 kg brisket"),
        ("Bake the salmon at 180°C for 20 minutes.", "4 salmon fillets"),
        ("Fry the steaks for 3 minutes on each side.", "2 steaks"),
        ("Warm the cooked ham in the oven at 150°C for 20 minutes.", "1 kg cooked ham"),
    ],
)
def test_nothing_is_advised_where_no_core_decides(line: str, of: str) -> None:
    assert all(placement.core is None for placement in converted(line, of=of).placements)


def test_the_advice_stands_at_the_end_of_two_heats() -> None:
    line = "Roast the leg of lamb at 220°C for 20 minutes. Reduce the oven to 160°C and roast for 1 hour."
    first, second = converted(line, of="2 kg leg of lamb").placements
    assert first.core is None
    assert second.core is not None


# --- flags ------------------------------------------------------------------------------------------------

SLOW = "Roast the rib of beef at 110°C until the internal temperature reaches 58°C."


def test_a_slow_roast_whose_core_is_too_long_in_the_danger_zone_is_a_caution() -> None:
    result = converted(SLOW, of="5 kg rib of beef")
    (found,) = [flag for flag in result.flags if flag.name == "slow-core"]
    assert found.level == "caution"
    assert result.placements[-1].flag
    assert "5 to 60 °C" in found.message
    assert "3-501.19" in (found.source or "")
    assert any("hot oven" in choice for choice in found.choices)


def test_a_small_or_a_hot_roast_is_not() -> None:
    assert flags(converted(SLOW, of="1 kg rib of beef"), "slow-core") == []
    hot = converted(
        "Roast the rib of beef at 200°C until the internal temperature reaches 58°C.", of="5 kg rib of beef"
    )
    assert flags(hot, "slow-core") == []


def test_the_caution_stands_on_the_minutes_of_the_slow_curve() -> None:
    one = roast(
        heat_class("beef-joint"), [stay(112, 300, 435, 150)], core_c=58, oven_c=None, minutes=None, grams=5000.0
    )
    assert one is not None
    drawn = draw(one)
    assert drawn is not None
    straight = Path(np.array([0.0, 60 * 435.0]), np.array([5.0, 58.0]))
    assert minutes_between(straight) == pytest.approx(435)
    assert minutes_between(drawn.slow) > 60 * slow_limit().hours


@pytest.mark.parametrize("slope", [0.004, 0.02])
def test_a_cookers_own_slope_moves_no_caution_and_no_core(slope: float) -> None:
    line = "Roast the rib of beef at 150°C for 240 minutes."
    plain, moved = (converted(line, of="5 kg rib of beef", cooker="two-oven", slope=one) for one in (None, slope))
    times = [result.placements[-1].moves[-1].minutes for result in (plain, moved)]
    assert times[0] != times[1], "the slope moves the time"
    assert core(plain) == core(moved)
    assert flags(plain, "slow-core") == flags(moved, "slow-core")


def test_a_low_core_is_held_against_the_published_kill_and_no_caution_goes() -> None:
    rare = converted(
        "Roast the rib of beef at 200°C until the internal temperature reaches 50°C.", of="2 kg rib of beef"
    )
    assert flags(rare, "kill-reached", "kill-not-reached") == ["kill-not-reached"]
    slow = converted(SLOW, of="5 kg rib of beef")
    assert flags(slow, "kill-reached", "kill-not-reached") == ["kill-reached"]
    for result in (rare, slow):
        assert flags(result, "core-below-choice") == ["core-below-choice"]
        notes = {flag.name: flag.level for flag in result.flags}
        assert notes.get("kill-reached", "note") == notes.get("kill-not-reached", "note") == "note"


def test_no_kill_is_told_of_lamb_of_a_rolled_joint_and_of_game_birds_as_of_beef() -> None:
    until = "at 200°C until the internal temperature reaches 55°C."
    for line, of in (("Roast the gigot", "2 kg gigot"), ("Roast the rolled rib of beef", "2 kg rolled rib of beef")):
        assert flags(converted(f"{line} {until}", of=of), "kill-reached", "kill-not-reached") == [], of
    game = core(converted(f"Roast the pheasant {until}", of="1 pheasant"))
    assert game.safe_c == limits()["poultry-core"].value
    assert game.core_c == game.pull_c == 55


def test_no_kill_is_told_of_poultry_or_without_a_named_core() -> None:
    bird = converted(
        "Roast the whole chicken at 200°C until the internal temperature reaches 65°C.", of="1.8 kg whole chicken"
    )
    beef = converted("Roast the rib of beef at 180°C for 90 minutes.", of="2 kg rib of beef")
    assert flags(bird, "kill-reached", "kill-not-reached") == flags(beef, "kill-reached", "kill-not-reached") == []
