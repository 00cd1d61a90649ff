"""`intake water nitrite`: what it is counted as, and salt that is wanting."""

from __future__ import annotations

import pytest

from tests.cli.ask import ask


def test_the_command_asks_what_the_nitrite_is_counted_as() -> None:
    _, as_n = ask("water nitrite --no2 '1 mg/L as N' --volume 200L")
    assert as_n["nitrite_mg_l"] == pytest.approx(3.2845, abs=1e-3)
    assert as_n["salt_needed_g"] == pytest.approx(200 * 32.845 / 606.6, rel=1e-3)
    _, bare = ask("water nitrite --no2 '1 mg/L'")
    assert (bare["nitrite_mg_l_low"], bare["nitrite_mg_l_high"]) == (
        pytest.approx(1.0),
        pytest.approx(3.2845, abs=1e-3),
    )
    assert any("the kit says which" in text for text in bare["assumptions"])
    _, band = ask("water nitrite --no2 '0.5..1 mg/L as NO2' --salt '0.1 g/L'")
    assert band["salt_needed_g_l"] == 0.0
    assert band["chloride_per_nitrite"] == pytest.approx(60.66, rel=1e-3)


def test_much_nitrite_is_met_with_water_first() -> None:
    _, much = ask("water nitrite --no2 '200 mg/L as NO2'")
    assert [w["code"] for w in much["warnings"]] == ["over-usual"]
    code, open_end = ask("water nitrite --no2 '>5 mg/L as NO2'")
    assert code == 1
    assert open_end["problems"][0]["code"] == "out-of-range"
    code, _ = ask("water nitrite --no2 unreadable")
    assert code == 1
    code, _ = ask("water nitrite")
    assert code == 2
