"""Every row of other people's tables, asked for with the commands a keeper types."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from intake.science.ammonia import as_nh3_mg_l
from intake.science.dechlorination import THIOSULFATE_MG_PER_MG_CHLORINE, tan_freed_n_mg_l
from tests.cli.ask import Answer, ask

DATA = Path(__file__).parents[1] / "data"


def rows(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8", newline="") as lines:
        found = list(csv.DictReader(lines))
    assert found
    assert all(row["source"] for row in found), "every row says where it is from"
    return found


def fine(line: str) -> Answer:
    code, answer = ask(line)
    assert code == 0, (line, answer)
    return answer


def test_oxygen() -> None:
    # Sources in the rows: EN 25814, APHA, meter manuals. Half a unit of the last digit printed
    # and a little for one decimal; the salinity rows of EN 25814 are a straight line.
    for row in rows("oxygen_saturation.csv"):
        salt, altitude = float(row["salinity_gkg"]), row["altitude_m"] or "0"
        more = f" --salt '{salt:g} g/L'" if salt else ""
        line = f"water oxygen --temp '{row['temp_C']} C' --altitude '{altitude} m'{more}"
        printed = row["published_mgL"]
        digits = len(printed.partition(".")[2])
        within = 0.08 if "salinity" in row["source"] else {1: 0.065, 2: 0.008, 3: 0.0006}[digits]
        found = fine(line)["saturation_mg_l"]
        assert found == pytest.approx(float(printed), abs=within), row


def test_salt_and_conductivity() -> None:
    # Published conductivities of NaCl at 25 C, printed to 0.1 or 1 uS/cm: 0.1 %. PHREEQC: 1 %.
    for row in rows("salt_conductivity.csv"):
        salt, printed = float(row["NaCl_g_L"]), float(row["EC25_uS_cm_published"])
        by_mass = fine(f"water salt '{row['NaCl_g_L']} g/L'")
        assert by_mass["conductivity_us_cm_25c"] == pytest.approx(printed, rel=1e-3), row
        assert by_mass["conductivity_us_cm_25c"] == pytest.approx(
            float(row["EC25_phreeqc"]), rel=0.01
        )
        by_meter = fine(f"water salt '{row['EC25_uS_cm_published']} uS/cm'")
        assert by_meter["g_l"] == pytest.approx(salt, rel=1e-3), row


@pytest.mark.slow
def test_ammonia() -> None:
    # UF/IFAS FA16 after Emerson 1975: the last digit printed and 1 %. ANZG 2026, Table A.1: a
    # handful of cells are off by one last digit, 0.5 %.
    asked = [
        (row["pH"], row["temp_C"], float(row["published_fraction"]), (0.00006, 0.01))
        for row in rows("ammonia_fraction.csv")
    ] + [
        (row["pH"], row["temp_C"], float(row["percent_nh3_printed"]) / 100, (0.0, 0.005))
        for row in rows("ammonia_percent.csv")
    ]
    for ph, temp, printed, (least, part) in asked:
        found = fine(f"water ammonia --tan '2 mg/L as N' --ph {ph} --temp '{temp} C'")
        assert abs(found["fraction"] - printed) <= max(least, part * printed), (ph, temp)
        assert found["nh3_n_mg_l"] == pytest.approx(2 * found["fraction"], rel=1e-12)


def test_ammonium_constant() -> None:
    # Published fits, printed to four decimals; PHREEQC's and Clegg and Whitfield's are others.
    for row in rows("equilibrium_constants.csv"):
        pka = fine(f"water ammonia --tan '1 mg/L as N' --ph 7 --temp '{row['T_C']} C'")["pka"]
        assert pka == pytest.approx(float(row["pKa_NH4_Emerson1975"]), abs=6e-5)
        for other in ("pKa_NH4_phreeqc", "pKa_NH4_CleggWhitfield1995_S0"):
            assert pka == pytest.approx(float(row[other]), abs=0.0025), (row["T_C"], other)


PENTAHYDRATE, ANHYDROUS = "thiosulfate-pentahydrate", "thiosulfate-anhydrous"
CHLORINE_G_PER_MOL, MOLAR_G = 70.906, {ANHYDROUS: 158.11, PENTAHYDRATE: 248.18}


def dechlorinated(volume_l: int, free: str, using: str, combined: str = "") -> Answer:
    more = f" --combined '{combined} mg/L'" if combined else ""
    return fine(
        f"water dechlorinate --volume '{volume_l} L' --free '{free} mg/L' --using {using}{more}"
    )


def mg_per_mg(using: str) -> float:
    return float(dechlorinated(100, "2", using)["amount_g"]) * 1000 / 200


def test_dechlorination() -> None:
    # Every row is known by its first words; one that is not fails. IUPAC masses in the rows.
    def stoichiometry(row: dict[str, str]) -> None:
        mol = float(row["Cl2_mol_per_thiosulfate"])
        columns = (
            (ANHYDROUS, "mg_anhydrous_per_mg_Cl2"),
            (PENTAHYDRATE, "mg_pentahydrate_per_mg_Cl2"),
        )
        for using, column in columns:
            theirs = float(row[column])
            assert theirs == pytest.approx(MOLAR_G[using] / CHLORINE_G_PER_MOL / mol, rel=1e-3)
            # Which reaction runs depends on the water: the one that needs most is dosed for.
            assert mg_per_mg(using) >= theirs * (1 - 1e-4)
            if row["pathway"].startswith("tetrathionate"):
                assert mg_per_mg(using) == pytest.approx(theirs, rel=1e-4)
                assert THIOSULFATE_MG_PER_MG_CHLORINE[using] == pytest.approx(theirs, rel=1e-4)

    def rule(row: dict[str, str]) -> None:
        theirs = float(row["mg_pentahydrate_per_mg_Cl2"])
        assert mg_per_mg(PENTAHYDRATE) == pytest.approx(theirs, rel=0.002)

    def field(row: dict[str, str]) -> None:
        # The form is not stated: what is dosed is more than it in either.
        theirs = float(row["mg_anhydrous_per_mg_Cl2"].split()[0])
        assert min(mg_per_mg(PENTAHYDRATE), mg_per_mg(ANHYDROUS)) > theirs

    def freed(row: dict[str, str]) -> None:
        found = dechlorinated(100, "0", PENTAHYDRATE, combined="1")["tan_freed_n_mg_l"]
        assert found == pytest.approx(float(row["value"]), rel=1e-3)

    def freed_as_nh3(row: dict[str, str]) -> None:
        assert as_nh3_mg_l(tan_freed_n_mg_l(1.0)) == pytest.approx(float(row["value"]), rel=1e-3)

    def freed_by_two(row: dict[str, str]) -> None:
        found = dechlorinated(100, "0", PENTAHYDRATE, combined="2")["tan_freed_n_mg_l"]
        assert found == pytest.approx(float(row["value"]), rel=1e-3)

    def tap(row: dict[str, str]) -> None:
        found = dechlorinated(100, "1.0", PENTAHYDRATE)["amount_g"]
        assert found * 1000 == pytest.approx(float(row["value"]), rel=1e-3)

    def spent_bleach(row: dict[str, str]) -> None:
        found = dechlorinated(20, "50", PENTAHYDRATE)["amount_g"]
        assert found == pytest.approx(float(row["value"]), rel=1e-3)

    def bleach(row: dict[str, str]) -> None:
        # No amount of bleach is worked out by a command; the two figures agree with each other.
        if row["unit"] == "mL bleach":
            assert float(row["value"]) == 50 * 20 / (10 * 5.0)
        else:
            assert pytest.approx(float(row["value"]), rel=1e-3) == CHLORINE_G_PER_MOL / 74.44

    walks = {
        "sulfate": stoichiometry,
        "tetrathionate": stoichiometry,
        "lab sample": rule,
        "1.13 mL": rule,
        "1 mL 0.1 N": rule,
        "field dose": field,
        "NH3-N released": freed,
        "as NH3 mass": freed_as_nh3,
        "NaOCl mass": bleach,
        "worked: 100 L tap at 1.0": tap,
        "worked: 100 L tap at 2.0": freed_by_two,
        "worked: 20 L at 50": bleach,
        "worked: neutralise": spent_bleach,
    }
    for row in rows("dechlorination.csv"):
        (walk,) = [walk for start, walk in walks.items() if row["pathway"].startswith(start)]
        walk(row)
